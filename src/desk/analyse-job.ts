import { UnusableInput } from "../base/index.ts";
import { type Book, type JobState, readJob, readOriginal, sha256Of } from "../book/index.ts";
import { type JobOutcome, type Packet, runJob } from "../core/job/index.ts";
import type { Intake } from "../core/result/index.ts";
import { type PacketFile, readPacketWithSheets } from "../formats/index.ts";
import type { LoadedPacket } from "./loaded.ts";

/** A job's files as a packet, with what was entered since: the intake as last written, outcomes of workshop tests. */
export function loadJob(book: Book, slug: string): LoadedPacket & { readonly state: JobState; readonly key: string } {
  const { state } = readJob(book, slug);
  const originals: PacketFile[] = state.files
    .filter((file) => !file.path.startsWith("attachments/"))
    .map((file) => ({ path: file.path, bytes: readOriginal(book, slug, file) }));
  const files = state.intake === undefined ? originals : withIntake(originals, state.intake);
  if (!files.some((file) => file.path === "intake.json"))
    throw new UnusableInput({ at: { file: slug }, what: "The job has no intake yet", do: "Enter at least the displacement and the number of cylinders" });
  const read = readPacketWithSheets(files);
  const packet: Packet = { ...read.packet, intake: withOutcomes(read.packet.intake, state) };
  return { ...read, packet, originals, state, key: keyOf(state) };
}

/** Does the whole main job on what the book holds of a job. Same journal, same answer. */
export function analyseJob(
  book: Book,
  slug: string,
  options: { readonly onProgress?: (text: string, share: number) => void } = {},
): { readonly loaded: ReturnType<typeof loadJob>; readonly outcome: JobOutcome } {
  options.onProgress?.("reading the job's files", 0.02);
  const loaded = loadJob(book, slug);
  const outcome = runJob(loaded.packet, { onProgress: (text, share) => options.onProgress?.(text, 0.2 + 0.8 * share) });
  return { loaded, outcome };
}

/** Changes when an input of the analysis changed, and only then. */
export function keyOf(state: JobState): string {
  const inputs = {
    files: state.files,
    intake: state.intake,
    observed: state.observed.map(({ test, outcome, value }) => [test, outcome, value]),
    columns: state.columns,
  };
  return sha256Of(new TextEncoder().encode(JSON.stringify(inputs))).slice(0, 16);
}

function withIntake(files: readonly PacketFile[], intake: Intake): readonly PacketFile[] {
  return [...files.filter((file) => file.path !== "intake.json"), { path: "intake.json", bytes: new TextEncoder().encode(JSON.stringify(intake)) }];
}

/** The last outcome of each workshop test joins the observations of the intake sheet. */
function withOutcomes(intake: Intake, state: JobState): Intake {
  if (state.observed.length === 0) return intake;
  const already = intake.observations?.workshopTests;
  const workshopTests = Object.fromEntries(state.observed.map(({ test, outcome }) => [test, outcome]));
  return { ...intake, observations: { ...intake.observations, workshopTests: { ...(typeof already === "object" ? already : {}), ...workshopTests } } };
}
