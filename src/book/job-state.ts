import type { Intake } from "../core/result/index.ts";
import type { Role } from "../core/tables/index.ts";
import type { JobEventKind, JobEvents, KeptFile, KeptRecording, StationId, StationState } from "./events.ts";
import { STATIONS } from "./events.ts";
import { standing } from "./fold.ts";
import type { JournalEvent } from "./journal.ts";

/** An event with the data that belongs to its kind. */
export type JobEvent = { [Kind in JobEventKind]: JournalEvent<Kind, JobEvents[Kind]> }[JobEventKind];

export interface Wait {
  readonly number: number;
  readonly since: string;
  readonly kind: JobEvents["wait.began"]["kind"];
  readonly what: string;
  readonly until?: string;
  readonly fault?: string;
}

/** A wait that ended: the job went on from there. */
export interface Resumption extends Wait {
  /** Number of the entry that ended it. */
  readonly ended: number;
  readonly endedAt: string;
}

export interface Revision {
  readonly number: number;
  readonly name: string;
  readonly from: number;
  readonly at: string;
  readonly by: string;
  readonly why?: string;
  readonly tables: JobEvents["revision.made"]["tables"];
}

export type Decision = JobEvents["change.decided"] & { readonly number: number; readonly at: string; readonly by: string; readonly why?: string };

/** A file of the job and the entry that brought it. */
export interface FileInJob extends KeptFile {
  readonly number: number;
}

/** What a job is now: the fold of its journal. */
export interface JobState {
  readonly slug: string;
  readonly title: string;
  readonly vehicle: string;
  /** Earlier job on the same vehicle, where the person named one. */
  readonly again: string | undefined;
  readonly createdAt: string;
  readonly lastAt: string;
  /** The sheet as last written; else undefined, and the packet's own intake.json holds. */
  readonly intake: Intake | undefined;
  /** Number of the entry that last brought the intake, as a file or as written; 0 while none did. */
  readonly intakeNumber: number;
  readonly files: readonly FileInJob[];
  readonly recordings: readonly KeptRecording[];
  readonly marked: Readonly<Partial<Record<StationId, StationState>>>;
  readonly waits: readonly Wait[];
  /** Waits that ended, in order. */
  readonly resumed: readonly Resumption[];
  readonly notes: readonly { readonly number: number; readonly at: string; readonly by: string; readonly text: string; readonly station?: StationId }[];
  readonly observed: readonly {
    readonly number: number;
    readonly at: string;
    readonly by: string;
    readonly test: string;
    readonly outcome: string;
    readonly value?: number;
  }[];
  readonly answers: Readonly<
    Record<string, { readonly answer: JobEvents["finding.answered"]["answer"]; readonly why?: string; readonly at: string; readonly by: string }>
  >;
  /** Decisions since the last revision: they make up the next one. */
  readonly decisions: readonly Decision[];
  readonly revisions: readonly Revision[];
  readonly columns: readonly JobEvents["column.named"][];
  /** Roles that a person gave tables, by title; "none": it has none. */
  readonly tableRoles: Readonly<Record<string, Role | "none">>;
  readonly ticks: Readonly<Record<string, Readonly<Record<string, boolean>>>>;
  readonly signatures: readonly (JobEvents["signature.kept"] & { readonly number: number; readonly at: string; readonly by: string })[];
  readonly reads: readonly (JobEvents["controller.read"] & { readonly number: number; readonly at: string; readonly by: string })[];
  readonly time: readonly (JobEvents["time.logged"] & { readonly at: string; readonly by: string })[];
  readonly parts: readonly (JobEvents["part.used"] & { readonly at: string; readonly by: string })[];
  readonly reports: readonly (JobEvents["report.made"] & { readonly at: string })[];
}

type Draft = { -readonly [Key in keyof JobState]: JobState[Key] };

/** Folds a job's journal into its state. Events of kinds this version does not know are passed over; they stay in the journal. */
export function foldJob(slug: string, events: readonly JournalEvent[]): JobState {
  const state: Draft = {
    slug,
    title: slug,
    vehicle: "",
    again: undefined,
    createdAt: events[0]?.at ?? "",
    lastAt: events.at(-1)?.at ?? "",
    intake: undefined,
    intakeNumber: 0,
    files: [],
    recordings: [],
    marked: {},
    waits: [],
    resumed: [],
    notes: [],
    observed: [],
    answers: {},
    decisions: [],
    revisions: [],
    columns: [],
    tableRoles: {},
    ticks: {},
    signatures: [],
    reads: [],
    time: [],
    parts: [],
    reports: [],
  };
  for (const event of standing(events) as readonly JobEvent[]) apply(state, event);
  return state;
}

function apply(state: Draft, event: JobEvent): void {
  const { number, at, by, why } = event;
  switch (event.kind) {
    case "job.created":
      state.title = event.data.title;
      state.vehicle = event.data.vehicle;
      state.again = event.data.again;
      return;
    case "job.renamed":
      state.title = event.data.title;
      return;
    case "files.added":
      if (event.data.files.some((file) => file.path === "intake.json")) state.intakeNumber = number;
      state.files = withFiles(
        state,
        event.data.files.map((file) => ({ ...file, ...drivenOn(state, file), number })),
      );
      return;
    case "recordings.kept":
      state.recordings = [...state.recordings.filter((kept) => !event.data.recordings.some((newer) => isSameReading(newer, kept))), ...event.data.recordings];
      return;
    case "files.withdrawn":
      state.files = state.files.filter((file) => !event.data.paths.includes(file.path));
      return;
    case "intake.written":
      state.intake = event.data.intake;
      state.intakeNumber = number;
      return;
    case "station.marked":
      state.marked = { ...state.marked, [event.data.station]: event.data.state };
      return;
    case "wait.began":
      state.waits = [...state.waits, { number, since: at, ...event.data }];
      return;
    case "wait.ended":
      state.resumed = [
        ...state.resumed,
        ...state.waits.filter((wait) => wait.number === event.data.began).map((wait) => ({ ...wait, ended: number, endedAt: at })),
      ];
      state.waits = state.waits.filter((wait) => wait.number !== event.data.began);
      return;
    case "note.written":
      state.notes = [...state.notes, { number, at, by, ...event.data }];
      return;
    case "test.observed":
      state.observed = [...state.observed, { number, at, by, ...event.data }];
      return;
    case "finding.answered":
      state.answers = { ...state.answers, [event.data.finding]: { answer: event.data.answer, why, at, by } };
      return;
    case "change.decided":
      state.decisions = [...state.decisions, { number, at, by, why, ...event.data }];
      return;
    case "revision.made":
      state.revisions = [
        ...state.revisions,
        { number: event.data.revision, name: event.data.name, from: event.data.from, at, by, why, tables: event.data.tables },
      ];
      state.decisions = [];
      return;
    case "column.named":
      state.columns = [...state.columns.filter((named) => named.file !== event.data.file || named.column !== event.data.column), event.data];
      return;
    case "table.named": {
      const { [event.data.table]: _before, ...others } = state.tableRoles;
      state.tableRoles = event.data.role === "as-read" ? others : { ...others, [event.data.table]: event.data.role };
      return;
    }
    case "checklist.ticked":
      state.ticks = { ...state.ticks, [event.data.list]: { ...state.ticks[event.data.list], [event.data.item]: event.data.ticked } };
      return;
    case "signature.kept":
      state.signatures = [...state.signatures, { number, at, by, ...event.data }];
      return;
    case "controller.read":
      state.reads = [...state.reads, { number, at, by, ...event.data }];
      return;
    case "time.logged":
      state.time = [...state.time, { at, by, ...event.data }];
      return;
    case "part.used":
      state.parts = [...state.parts, { at, by, ...event.data }];
      return;
    case "report.made":
      state.reports = [...state.reports, { at, ...event.data }];
      return;
    default:
      return;
  }
}

/** One path may have been driven on several revisions: then each original has columns of its own. */
function isSameReading(a: KeptRecording, b: KeptRecording): boolean {
  return a.path === b.path && a.original === b.original;
}

/** Recordings and sweeps: made with a calibration in the controller. */
export function isDriven(file: Pick<KeptFile, "path">): boolean {
  return /^(recordings|pulls)\//.test(file.path);
}

/** Without a word of it, a recording or a sweep was made with the newest revision in the controller. */
function drivenOn(state: Draft, file: KeptFile): { readonly revision?: number } {
  if (!isDriven(file)) return {};
  return { revision: file.revision ?? state.revisions.at(-1)?.number ?? 0 };
}

/**
 * A file takes the place of one under the same path that was made on the same revision, unless a repair lies between: what was
 * recorded before it is the only witness of the fault. Whatever is replaced stays among the originals.
 */
function withFiles(state: Draft, added: readonly FileInJob[]): readonly FileInJob[] {
  const repaired = state.resumed.findLast((wait) => wait.fault !== undefined)?.ended ?? 0;
  const isReplaced = (old: FileInJob): boolean =>
    added.some((file) => file.path === old.path && file.revision === old.revision && (old.number > repaired || !isDriven(old)));
  const whole = [...state.files.filter((old) => !isReplaced(old)), ...added];
  return whole.sort((a, b) => (a.path < b.path ? -1 : a.path > b.path ? 1 : a.number - b.number));
}

/** State of each station: what a person marked, else what the files and entries of the job show. */
export function stationStates(state: JobState): Readonly<Record<StationId, StationState>> {
  const has = (prefix: string): boolean => state.files.some((file) => file.path.startsWith(prefix));
  const shown: Record<StationId, StationState> = {
    // A sheet that was read or kept has what the analysis must know.
    intake: state.intake !== undefined || has("intake.json") ? "done" : state.notes.some((note) => note.station === "intake") ? "begun" : "empty",
    reading: has("calibration/as-received/") ? "done" : state.reads.length > 0 || state.notes.some((note) => note.station === "reading") ? "begun" : "empty",
    inspection: Object.keys(state.answers).length > 0 || has("calibration/as-received/") ? "begun" : "empty",
    recordings: has("recordings/") ? "begun" : "empty",
    diagnosis: state.observed.length > 0 || has("recordings/") ? "begun" : "empty",
    "change-sheet": state.decisions.length > 0 || state.revisions.length > 0 ? "begun" : "empty",
    pulls: has("pulls/") ? "begun" : "empty",
    handover: state.reports.length > 0 ? "begun" : "empty",
  };
  for (const station of STATIONS) {
    const marked = state.marked[station];
    if (marked !== undefined) shown[station] = marked;
  }
  return shown;
}
