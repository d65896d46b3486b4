import { UnusableInput } from "../base/index.ts";
import {
  type Book,
  type FileInJob,
  isDriven,
  type JobState,
  latestRevision,
  type Memory,
  memoryOf,
  readJob,
  readOriginal,
  revisionFiles,
  revisionOf,
  sha256Of,
} from "../book/index.ts";
import type { InjectorSheet } from "../core/corrections/index.ts";
import { type JobOutcome, type Packet, runJob } from "../core/job/index.ts";
import type { Finding, Intake, Result } from "../core/result/index.ts";
import { type PacketFile, readPacketWithSheets } from "../formats/index.ts";
import type { LoadedPacket } from "./loaded.ts";
import { type SinceRepair, sinceRepair } from "./since-repair.ts";

/** What the book holds of a job, read as a packet. */
export interface LoadedJob extends LoadedPacket {
  readonly state: JobState;
  readonly memory: Memory;
  /** Revision whose tables stand in the packet as those in the controller, with the recordings made on it; 0 as received. */
  readonly revision: number;
  /** Changes when an input of the analysis changed, and only then. */
  readonly key: string;
}

export interface LoadOptions {
  /** Revision to look at; left out: the newest one that was driven, so that making a revision does not empty the picture. */
  readonly revision?: number;
}

/**
 * A job's files as a packet, with what was entered since: the intake as last written, outcomes of workshop tests, columns that a
 * person named here or in any job. @throws UnusableInput when a file is missing or damaged, or the job has no intake
 */
export function loadJob(book: Book, slug: string, options: LoadOptions = {}): LoadedJob {
  const { state } = readJob(book, slug);
  const memory = memoryOf(book);
  const revision = revisionOf(state, options.revision ?? drivenRevision(state))?.number ?? 0;
  const since = sinceRepair(state);
  const inForce = revisionFiles(book, state, revision);
  const others = since.files.filter((file) => isRead(file, revision)).map((file) => ({ path: file.path, bytes: readOriginal(book, slug, file) }));
  const originals = [...others, ...inForce].sort((a, b) => (a.path < b.path ? -1 : 1));
  const files = state.intake === undefined ? originals : withIntake(originals, state.intake);
  if (!files.some((file) => file.path === "intake.json"))
    throw new UnusableInput({ at: { file: slug }, what: "The job has no intake yet", do: "Enter at least the displacement and the number of cylinders" });
  const read = readPacketWithSheets(files, { columns: (path) => columnsOf(state, memory, path), roles: state.tableRoles });
  const packet: Packet = { ...read.packet, intake: withOutcomes(read.packet.intake, since), remarks: [...since.remarks, ...read.packet.remarks] };
  return { ...read, packet, originals, state, memory, revision, key: keyOf(state, memory, revision) };
}

/** Does the whole main job on what the book holds of a job. Same journal, same answer. */
export function analyseJob(
  book: Book,
  slug: string,
  options: LoadOptions & { readonly onProgress?: (text: string, share: number) => void } = {},
): { readonly loaded: LoadedJob; readonly outcome: JobOutcome } {
  options.onProgress?.("reading the job's files", 0.02);
  const loaded = loadJob(book, slug, options);
  const outcome = runJob(loaded.packet, {
    injectorSheets: injectorSheetsOf(loaded.memory),
    onProgress: (text, share) => options.onProgress?.(text, 0.2 + 0.8 * share),
  });
  return { loaded, outcome: { ...outcome, result: withSettings(outcome.result, loaded.memory) } };
}

/** The newest revision that a recording or a sweep was made on; the calibration as received while there is none. */
export function drivenRevision(state: JobState): number {
  const driven = sinceRepair(state)
    .files.filter(isDriven)
    .map((file) => file.revision ?? 0);
  const known = new Set([0, ...state.revisions.map((revision) => revision.number)]);
  return driven.length === 0 ? latestRevision(state) : Math.max(0, ...driven.filter((number) => known.has(number)));
}

/** Sheets of the calibration come from the revision; recordings and sweeps count where they were made; attachments are not read. */
function isRead(file: FileInJob, revision: number): boolean {
  if (file.path.startsWith("attachments/") || file.path.startsWith("calibration/as-received/")) return false;
  return !isDriven(file) || (file.revision ?? 0) === revision;
}

/** Changes when an input of the analysis changed, and only then. */
export function keyOf(state: JobState, memory: Memory, revision: number = drivenRevision(state)): string {
  const since = sinceRepair(state);
  const tables = revisionOf(state, revision)?.tables.map(({ file, sha256 }) => [file, sha256]);
  const inputs = {
    revision,
    tables: tables ?? state.files.filter((file) => file.path.startsWith("calibration/as-received/")).map(({ path, sha256 }) => [path, sha256]),
    files: since.files.filter((file) => isRead(file, revision)).map(({ path, sha256 }) => [path, sha256]),
    intake: state.intake,
    intakeHolds: since.intakeHolds,
    observed: since.observed.map(({ test, outcome, value }) => [test, outcome, value]),
    columns: state.columns,
    ...(Object.keys(state.tableRoles).length === 0 ? {} : { tableRoles: state.tableRoles }),
    learned: memory.columns,
    checks: memory.checks,
    injectors: memory.injectors,
  };
  return sha256Of(new TextEncoder().encode(JSON.stringify(inputs))).slice(0, 16);
}

/** Columns of a recording that a person named: in this job, else in the whole book. */
export function columnsOf(state: JobState, memory: Memory, path: string): Memory["columns"] {
  const here = state.columns.filter((named) => named.file === path).map((named) => [named.column, named.signal] as const);
  return { ...memory.columns, ...Object.fromEntries(here) };
}

function withIntake(files: readonly PacketFile[], intake: Intake): readonly PacketFile[] {
  return [...files.filter((file) => file.path !== "intake.json"), { path: "intake.json", bytes: new TextEncoder().encode(JSON.stringify(intake)) }];
}

/** The last outcome of each workshop test joins the observations of the intake sheet; those from before a repair fall away. */
function withOutcomes(intake: Intake, since: SinceRepair): Intake {
  if (since.observed.length === 0 && since.intakeHolds) return intake;
  const observations = since.intakeHolds ? intake.observations : {};
  const already = observations?.workshopTests;
  const workshopTests = Object.fromEntries(since.observed.map(({ test, outcome }) => [test, outcome]));
  return { ...intake, observations: { ...observations, workshopTests: { ...(typeof already === "object" ? already : {}), ...workshopTests } } };
}

/** Findings as the shop wants its checks: some only noted, some left out, which is said. A `stop` is never left out. */
function withSettings(result: Result, memory: Memory): Result {
  const off = new Set<string>();
  const findings = result.findings.flatMap((finding): Finding[] => {
    const setting = memory.checks[finding.check];
    if (setting === undefined || finding.severity === "stop") return [finding];
    if (setting === "note") return [{ ...finding, severity: "note" }];
    off.add(finding.check);
    return [];
  });
  const order = ["stop", "fix", "watch", "note"];
  findings.sort((a, b) => order.indexOf(a.severity) - order.indexOf(b.severity));
  const couldNot = [...off].sort().map((check) => `check ${check}: found something and is switched off in this book`);
  return { ...result, findings, couldNot: [...result.couldNot, ...couldNot] };
}

/** The book's data sheets as the corrections read them. */
function injectorSheetsOf({ injectors }: Memory): InjectorSheet[] {
  return injectors.map(({ label, ratedFlowGps, ratedPressureKpa, deadTimeMs }) => ({
    label,
    ratedFlowGps,
    ratedKpa: ratedPressureKpa,
    ...(deadTimeMs === undefined ? {} : { deadTime: deadTimeMs.map(([batteryV, ms]) => ({ batteryV, ms })) }),
  }));
}
