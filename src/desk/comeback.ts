import { UnusableInput } from "../base/index.ts";
import { type Book, type JobState, jobSlugs, latestRevision, readJob, recordJobEvent } from "../book/index.ts";
import { type ComebackComparison, compareWithSignature, readSignature, type Signature, signatureOf } from "../core/comeback/index.ts";
import { explainEdits } from "../core/edits/index.ts";
import type { DiagnosisInput } from "../core/faults/index.ts";
import type { Packet } from "../core/job/index.ts";
import { observe } from "../core/residuals/index.ts";
import type { Calibration } from "../core/tables/index.ts";
import { type LoadedJob, loadJob } from "./analyse-job.ts";

/** An earlier job on the same vehicle that kept how the vehicle left. */
export interface EarlierVisit {
  readonly job: string;
  readonly title: string;
  /** When the signature was kept. */
  readonly at: string;
  readonly revision: number;
  readonly signature: Signature;
}

export interface ComebackOfJob {
  readonly earlier: Omit<EarlierVisit, "signature">;
  /** Revision of the earlier job whose tables are in the controller now, cell for cell; undefined when none is. */
  readonly ours: number | undefined;
  readonly comparison: ComebackComparison;
}

/**
 * Keeps how a vehicle leaves, from the recordings made on the newest revision that was driven; `undriven`: a newer one that was made since.
 * @throws UnusableInput without recordings
 */
export function keepSignature(
  book: Book,
  slug: string,
  why?: string,
): { readonly revision: number; readonly signature: Signature; readonly undriven: number | undefined } {
  const { revision, input } = seenOf(loadJob(book, slug));
  if (input.observations.length === 0)
    throw new UnusableInput({ at: { file: slug }, what: "There is no recording to take a signature from", do: "Add the last drive on the tables that leave" });
  const signature = signatureOf(input);
  recordJobEvent(book, slug, "signature.kept", { revision, signature }, why);
  const newest = latestRevision(readJob(book, slug).state);
  return { revision, signature, undriven: newest === revision ? undefined : newest };
}

/** The newest signature of a job. */
export function signatureKept(state: JobState): EarlierVisit | undefined {
  const kept = state.signatures.at(-1);
  if (kept === undefined) return undefined;
  const { at, revision } = kept;
  return { job: state.slug, title: state.title, at, revision, signature: readSignature(JSON.stringify(kept.signature)) };
}

/**
 * Jobs on the vehicle of this one that were begun before it and kept a signature: the one it was begun again from, then the newest first.
 * Vehicles are the same when the shop wrote them the same.
 */
export function earlierVisits(book: Book, slug: string): readonly EarlierVisit[] {
  const { vehicle, createdAt, again } = readJob(book, slug).state;
  const name = plain(vehicle);
  const isSame = (other: JobState): boolean => other.slug === again || (name !== "" && plain(other.vehicle) === name && other.createdAt <= createdAt);
  return jobSlugs(book)
    .filter((other) => other !== slug)
    .flatMap((other) => {
      const { state } = readJob(book, other);
      const kept = isSame(state) ? signatureKept(state) : undefined;
      return kept === undefined ? [] : [kept];
    })
    .sort((a, b) => Number(b.job === again) - Number(a.job === again) || (a.at < b.at ? 1 : -1));
}

function plain(vehicle: string): string {
  return vehicle.trim().toLowerCase().replaceAll(/\s+/g, " ");
}

/**
 * Holds the vehicle of a job against how it left an earlier one; undefined where no earlier job kept a signature.
 * @param from  short name of the earlier job; left out: the newest on the same vehicle
 * @throws UnusableInput when the job named kept no signature
 */
export function comebackOf(book: Book, slug: string, from?: string): ComebackOfJob | undefined {
  const visit = from === undefined ? earlierVisits(book, slug)[0] : signatureKept(readJob(book, from).state);
  if (visit === undefined) {
    if (from === undefined) return undefined;
    throw new UnusableInput({ at: { file: from }, what: "This job kept no signature", do: `Keep it from its last drive: fettle signature ${from}` });
  }
  const { signature, ...earlier } = visit;
  const before = loadJob(book, earlier.job, { revision: earlier.revision }).packet;
  const { input } = seenOf(loadJob(book, slug), before);
  const comparison = compareWithSignature(signature, input, before.asReceived);
  return { earlier, ours: revisionInController(book, earlier.job, input.calibration), comparison };
}

/** What a job's recordings show. @param before  the same vehicle earlier: its tables and its reference serve where this job brought none */
function seenOf({ packet, revision }: LoadedJob, before?: Packet): { readonly input: DiagnosisInput; readonly revision: number } {
  const { asReceived: calibration, intake, recordings } = packet;
  const reference = packet.reference ?? before?.reference;
  const known = calibration ?? before?.asReceived;
  return { input: { observations: recordings.map((recording) => observe(recording, known, intake)), calibration, reference, intake }, revision };
}

/** The newest revision of a job that a calibration equals cell for cell; 0 as that job received it. */
function revisionInController(book: Book, job: string, calibration: Calibration | undefined): number | undefined {
  if (calibration === undefined) return undefined;
  for (let revision = latestRevision(readJob(book, job).state); revision >= 0; revision--) {
    const left = loadJob(book, job, { revision }).packet.asReceived;
    if (left !== undefined && left.tables.length === calibration.tables.length && explainEdits(calibration, left).every((edit) => edit.kind === "unchanged"))
      return revision;
  }
  return undefined;
}
