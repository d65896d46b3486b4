import { type Book, createJob, readJob, recordJobEvent } from "../book/index.ts";
import type { Intake } from "../core/result/index.ts";
import { intakeOf } from "./intake-of.ts";

/**
 * Begins a job on a vehicle that was here before: its name and the facts of its intake come along, what belonged to that day does not.
 * @param earlier  short name of the earlier job
 * @returns the new job's short name
 * @throws UnusableInput when there is no such job
 */
export function beginAgain(book: Book, earlier: string, entry: { readonly title: string; readonly vehicle?: string; readonly why?: string }): string {
  const { state } = readJob(book, earlier);
  const slug = createJob(book, { vehicle: state.vehicle, ...entry, again: earlier });
  const intake = intakeOf(book, state);
  if (intake !== undefined) recordJobEvent(book, slug, "intake.written", { intake: withoutTheDay(intake) }, `as in ${earlier}, less what belonged to that day`);
  return slug;
}

/** Weather, complaint, codes and what the workshop saw were of that day. */
function withoutTheDay({ ambient: _weather, complaint: _complaint, troubleCodes: _codes, observations: _seen, ...vehicle }: Intake): Intake {
  return vehicle;
}
