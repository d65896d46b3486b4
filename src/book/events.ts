import type { Intake } from "../core/result/index.ts";
import type { SignalId } from "../core/units/index.ts";

/** Stations of a job, in the order in which a job usually passes them; a person may move between them freely. */
export const STATIONS = ["intake", "reading", "inspection", "recordings", "diagnosis", "change-sheet", "pulls", "handover"] as const;
export type StationId = (typeof STATIONS)[number];

/** The shape of a knot on the job's spine. */
export type StationState = "empty" | "begun" | "waiting" | "done";

/** A file that came with the job, kept byte for byte under the hash of its content. */
export interface KeptFile {
  /** Path within the packet: `calibration/as-received/…`, `recordings/…`, `pulls/…`, or `attachments/…` for anything else. */
  readonly path: string;
  readonly sha256: string;
  readonly bytes: number;
  /** Revision of the calibration that was in the controller when it was recorded; 0 is the calibration as received. */
  readonly revision?: number;
}

/** A cell of a change sheet that the hand set against, or without, the fit. Values in the table's canonical unit. */
export interface CellEdit {
  readonly row: number;
  readonly column: number;
  readonly value: number;
}

/** First and last [row, column], both included. */
export type CellRegion = readonly [readonly [number, number], readonly [number, number]];

/** Everything that can happen to a job, with what is written down of it. */
export interface JobEvents {
  "job.created": { readonly title: string; readonly vehicle: string };
  "job.renamed": { readonly title: string };
  "files.added": { readonly files: readonly KeptFile[] };
  "files.withdrawn": { readonly paths: readonly string[] };
  "intake.written": { readonly intake: Intake };
  "station.marked": { readonly station: StationId; readonly state: StationState };
  /** `kind` says what the board sorts by; `what` is in the person's words. */
  "wait.began": { readonly kind: "part" | "customer" | "drive" | "dynamometer" | "other"; readonly what: string; readonly until?: string };
  "wait.ended": { readonly began: number };
  "note.written": { readonly text: string; readonly station?: StationId };
  "test.observed": { readonly test: string; readonly outcome: string; readonly value?: number };
  "finding.answered": { readonly finding: string; readonly answer: "accepted" | "disputed" | "done" };
  /** No region: the whole table. `cells` only with `edit`. */
  "change.decided": {
    readonly role: string;
    readonly decision: "accept" | "hold" | "edit";
    readonly region?: CellRegion;
    readonly cells?: readonly CellEdit[];
  };
  "revision.made": {
    readonly revision: number;
    readonly name: string;
    readonly from: number;
    readonly tables: readonly { readonly title: string; readonly role?: string; readonly sha256: string; readonly reasons: readonly string[] }[];
  };
  "column.named": { readonly file: string; readonly column: string; readonly signal: SignalId | "none" };
  "checklist.ticked": { readonly list: string; readonly item: string; readonly ticked: boolean };
  "signature.kept": { readonly revision: number; readonly signature: unknown };
  "time.logged": { readonly minutes: number; readonly what: string };
  "part.used": { readonly part: string; readonly quantity: number; readonly quality?: string; readonly price?: number };
  "report.made": { readonly name: string; readonly sha256: string };
  undone: { readonly number: number };
}

/** What the whole book remembers across jobs and laptops. */
export interface BookEvents {
  "shop.named": { readonly name: string };
  "units.preferred": { readonly quantity: string; readonly unit: string };
  "column.learned": { readonly column: string; readonly signal: SignalId | "none" };
  "injector.kept": {
    readonly label: string;
    readonly ratedFlowGps: number;
    readonly ratedPressureKpa: number;
    readonly deadTimeMs?: readonly (readonly [number, number])[];
  };
  "injector.dropped": { readonly label: string };
  /** A calibration offered as a reference for later vehicles; its sheets lie in the job that brought it. */
  "reference.kept": {
    readonly name: string;
    readonly job: string;
    readonly folder: "as-received" | "reference";
    readonly engine: { readonly displacementL: number; readonly cylinders: number };
  };
  "reference.dropped": { readonly name: string };
  "check.set": { readonly check: string; readonly setting: "on" | "off" | "note" };
  "checklist.written": { readonly name: string; readonly text: string };
  undone: { readonly number: number };
}

export type JobEventKind = keyof JobEvents;
export type BookEventKind = keyof BookEvents;
