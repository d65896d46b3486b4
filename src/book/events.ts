import type { Intake } from "../core/result/index.ts";
import type { Role } from "../core/tables/index.ts";
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

/** A proposal as it stood when it was accepted: later recordings may change what would be proposed, never what was accepted. */
export interface AcceptedProposal {
  /** Hash of the proposed sheet under `tables/`. */
  readonly sheet: string;
  /** Standard deviation of each cell, in the table's canonical unit; null where nothing is known. */
  readonly sd: readonly (number | null)[];
  readonly why: string;
  /** Recordings that it was fitted to. */
  readonly recordings: readonly string[];
  /** Fault that it was held for; the person accepted it all the same. */
  readonly heldBecause?: string;
}

/** First and last [row, column], both included. */
export type CellRegion = readonly [readonly [number, number], readonly [number, number]];

export const WAIT_KINDS = ["part", "customer", "drive", "dynamometer", "other"] as const;
export type WaitKind = (typeof WAIT_KINDS)[number];

/** A recording laid down as columns, made from an original by the reading that `columns` tells. */
export interface KeptRecording {
  readonly path: string;
  /** Hash of the original it was read from. */
  readonly original: string;
  /** Hash of the Parquet file under `recordings/`. */
  readonly sha256: string;
  readonly rows: number;
  readonly durationS: number;
  /** Signals by the names of the columns they were read from. */
  readonly signals: Readonly<Record<string, string>>;
}

/** A table of a revision: its sheet lies under `tables/`. */
export interface RevisionTable {
  readonly title: string;
  readonly role?: string;
  readonly sha256: string;
  /** File name within the calibration's folder, so that it goes back as it came. */
  readonly file: string;
  /** Why it differs from the revision it was made from; empty where it does not. */
  readonly reasons: readonly string[];
  readonly changed: readonly CellChange[];
}

/** A cell that a revision changed, canonical unit, and by which entry of the journal. */
export interface CellChange {
  readonly row: number;
  readonly column: number;
  readonly from: number;
  readonly to: number;
  /** Number of the decision that set it. */
  readonly decision: number;
  /** Standard deviation that the fit gave the cell, in the table's unit; absent for what the hand set. */
  readonly sd?: number;
}

/** A read of the controller: what a later hand needs to know of it, and what to look at first when it went wrong. */
export interface ControllerRead {
  /** Plan that was followed. */
  readonly plan: string;
  readonly method: string;
  /** Supply while it ran. */
  readonly supplyV?: number;
  readonly fusesOut?: string;
  readonly connectors?: string;
  readonly oil?: "none" | "traces" | "wet";
  /** When it began, as the person wrote it. */
  readonly began?: string;
  readonly minutes?: number;
  /** Who did it; the entry itself says who wrote it down. */
  readonly who?: string;
  readonly remark?: string;
}

/** Everything that can happen to a job, with what is written down of it. */
export interface JobEvents {
  /** `again`: short name of an earlier job on the same vehicle, where the person named one. */
  "job.created": { readonly title: string; readonly vehicle: string; readonly again?: string };
  "job.renamed": { readonly title: string };
  "files.added": { readonly files: readonly KeptFile[] };
  "files.withdrawn": { readonly paths: readonly string[] };
  "recordings.kept": { readonly recordings: readonly KeptRecording[] };
  "intake.written": { readonly intake: Intake };
  "station.marked": { readonly station: StationId; readonly state: StationState };
  /** `kind` says what the board sorts by; `what` is in the person's words. */
  "wait.began": {
    readonly kind: WaitKind;
    readonly what: string;
    /** A date as the person gave it. */
    readonly until?: string;
    /** Fault that the part is to mend: what must be measured again afterwards follows from it. */
    readonly fault?: string;
  };
  "wait.ended": { readonly began: number };
  "note.written": { readonly text: string; readonly station?: StationId };
  "test.observed": { readonly test: string; readonly outcome: string; readonly value?: number };
  "finding.answered": { readonly finding: string; readonly answer: "accepted" | "disputed" | "done" };
  /** No region: the whole table. `cells` only with `edit`, `proposal` only with `accept`. */
  "change.decided": {
    /** Role of the table, or its title where it has none. */
    readonly role: string;
    readonly decision: "accept" | "hold" | "edit";
    readonly region?: CellRegion;
    readonly cells?: readonly CellEdit[];
    readonly proposal?: AcceptedProposal;
  };
  "revision.made": {
    readonly revision: number;
    readonly name: string;
    readonly from: number;
    /** Every table of the calibration, those that did not change as well. */
    readonly tables: readonly RevisionTable[];
  };
  "column.named": { readonly file: string; readonly column: string; readonly signal: SignalId | "none" };
  /** By title, in every calibration of the job; `as-read` takes back what was said before. */
  "table.named": { readonly table: string; readonly role: Role | "none" | "as-read" };
  "checklist.ticked": { readonly list: string; readonly item: string; readonly ticked: boolean };
  "signature.kept": { readonly revision: number; readonly signature: unknown };
  /** How the calibration was got out of the controller, as the person wrote it down. */
  "controller.read": ControllerRead;
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
  "column.forgotten": { readonly column: string };
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
  /** The book is the demo, its scenario ends on this day. */
  "demo.began": { readonly today: string };
  /** A vehicle of the demo whose story is told to its end. */
  "demo.told": { readonly job: string };
  undone: { readonly number: number };
}

export type JobEventKind = keyof JobEvents;
export type BookEventKind = keyof BookEvents;
