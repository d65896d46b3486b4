import type { Intake } from "../core/result/index.ts";
import type { JobEventKind, JobEvents, KeptFile, StationId, StationState } from "./events.ts";
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

/** What a job is now: the fold of its journal. */
export interface JobState {
  readonly slug: string;
  readonly title: string;
  readonly vehicle: string;
  readonly createdAt: string;
  readonly lastAt: string;
  /** The sheet as last written; else undefined, and the packet's own intake.json holds. */
  readonly intake: Intake | undefined;
  readonly files: readonly KeptFile[];
  readonly marked: Readonly<Partial<Record<StationId, StationState>>>;
  readonly waits: readonly Wait[];
  readonly notes: readonly { readonly number: number; readonly at: string; readonly by: string; readonly text: string; readonly station?: StationId }[];
  readonly observed: readonly { readonly number: number; readonly at: string; readonly test: string; readonly outcome: string; readonly value?: number }[];
  readonly answers: Readonly<Record<string, { readonly answer: JobEvents["finding.answered"]["answer"]; readonly why?: string }>>;
  /** Decisions since the last revision: they make up the next one. */
  readonly decisions: readonly Decision[];
  readonly revisions: readonly Revision[];
  readonly columns: readonly JobEvents["column.named"][];
  readonly ticks: Readonly<Record<string, Readonly<Record<string, boolean>>>>;
  readonly signatures: readonly JobEvents["signature.kept"][];
  readonly time: readonly (JobEvents["time.logged"] & { readonly at: string })[];
  readonly parts: readonly (JobEvents["part.used"] & { readonly at: string })[];
  readonly reports: readonly (JobEvents["report.made"] & { readonly at: string })[];
}

type Draft = { -readonly [Key in keyof JobState]: JobState[Key] };

/** Folds a job's journal into its state. Events of kinds this version does not know are passed over; they stay in the journal. */
export function foldJob(slug: string, events: readonly JournalEvent[]): JobState {
  const state: Draft = {
    slug,
    title: slug,
    vehicle: "",
    createdAt: events[0]?.at ?? "",
    lastAt: events.at(-1)?.at ?? "",
    intake: undefined,
    files: [],
    marked: {},
    waits: [],
    notes: [],
    observed: [],
    answers: {},
    decisions: [],
    revisions: [],
    columns: [],
    ticks: {},
    signatures: [],
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
      return;
    case "job.renamed":
      state.title = event.data.title;
      return;
    case "files.added":
      state.files = withFiles(state.files, event.data.files);
      return;
    case "files.withdrawn":
      state.files = state.files.filter((file) => !event.data.paths.includes(file.path));
      return;
    case "intake.written":
      state.intake = event.data.intake;
      return;
    case "station.marked":
      state.marked = { ...state.marked, [event.data.station]: event.data.state };
      return;
    case "wait.began":
      state.waits = [...state.waits, { number, since: at, ...event.data }];
      return;
    case "wait.ended":
      state.waits = state.waits.filter((wait) => wait.number !== event.data.began);
      return;
    case "note.written":
      state.notes = [...state.notes, { number, at, by, ...event.data }];
      return;
    case "test.observed":
      state.observed = [...state.observed, { number, at, ...event.data }];
      return;
    case "finding.answered":
      state.answers = { ...state.answers, [event.data.finding]: { answer: event.data.answer, why } };
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
    case "checklist.ticked":
      state.ticks = { ...state.ticks, [event.data.list]: { ...state.ticks[event.data.list], [event.data.item]: event.data.ticked } };
      return;
    case "signature.kept":
      state.signatures = [...state.signatures, event.data];
      return;
    case "time.logged":
      state.time = [...state.time, { at, ...event.data }];
      return;
    case "part.used":
      state.parts = [...state.parts, { at, ...event.data }];
      return;
    case "report.made":
      state.reports = [...state.reports, { at, ...event.data }];
      return;
    default:
      return;
  }
}

/** A file under a path that is there already takes its place; the earlier one stays among the originals. */
function withFiles(files: readonly KeptFile[], added: readonly KeptFile[]): readonly KeptFile[] {
  const paths = new Set(added.map((file) => file.path));
  return [...files.filter((file) => !paths.has(file.path)), ...added].sort((a, b) => (a.path < b.path ? -1 : 1));
}

/** State of each station: what a person marked, else what the files and entries of the job show. */
export function stationStates(state: JobState): Readonly<Record<StationId, StationState>> {
  const has = (prefix: string): boolean => state.files.some((file) => file.path.startsWith(prefix));
  const shown: Record<StationId, StationState> = {
    intake: state.intake !== undefined || has("intake.json") ? "begun" : "empty",
    reading: has("calibration/as-received/") ? "done" : Object.keys(state.ticks.reading ?? {}).length > 0 ? "begun" : "empty",
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
