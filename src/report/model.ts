import type { Edit, Intake, PullResult, Result, Suspect } from "../core/result/index.ts";
import type { Table } from "../core/tables/index.ts";

/**
 * What a report is made of. Only the result and the intake are needed; whatever else is given becomes pictures and numbers.
 * All values are in canonical units (those of the roles and the signal dictionary); the report converts for display.
 */
export interface ReportModel {
  readonly result: Result;
  readonly intake: Intake;
  readonly about?: About;
  /** Every file that was read or written, by hash. */
  readonly files?: readonly FileRecord[];
  /** Tables in the controller, and the factory's. */
  readonly asReceived?: readonly Table[];
  readonly reference?: readonly Table[];
  readonly corrections?: readonly CorrectionDetail[];
  /** Recordings as they are drawn; a recording without one is only told in words. */
  readonly traces?: readonly Trace[];
  readonly stories?: readonly StoryDetail[];
  readonly coverage?: readonly CoverageDetail[];
  readonly alignments?: readonly AlignmentDetail[];
  readonly sweeps?: readonly SweepDetail[];
  /** Sweeps by the calibration they were made on, the earliest first, and what changed between those. */
  readonly series?: readonly SweepSeries[];
  readonly gains?: readonly SweepGain[];
  /** The list before a pull, where anything of it was ticked. */
  readonly checklist?: readonly ChecklistItem[];
  /** Workshop tests worth doing next, best first. */
  readonly tests?: readonly NextTest[];
  /** Every change with its reason: for the workshop sheet. */
  readonly changes?: readonly ChangeRecord[];
  /** Parts that were fitted, and workshop tests that were done, in this job. */
  readonly fitted?: readonly { readonly part: string; readonly quality?: string }[];
  readonly tested?: readonly { readonly test: string; readonly outcome: string }[];
  readonly handover?: Handover;
  /** How the vehicle leaves, as it was kept. */
  readonly left?: LeftDetail;
  /** A vehicle that came back, against how it left. */
  readonly comeback?: ComebackDetail;
}

/** Figures of a vehicle as it leaves. */
export interface LeftDetail {
  /** Date as it shall be printed. */
  readonly on: string;
  /** 0: the calibration as received. */
  readonly revision: number;
  readonly residuals: number;
  readonly figures: readonly { readonly title: string; readonly unit: string; readonly value: number; readonly scatter: number; readonly spells: number }[];
}

export interface ComebackDetail {
  /** The earlier job: title, date as it shall be printed, revision that left. */
  readonly left: { readonly job: string; readonly on: string; readonly revision: number };
  /** Revision of the earlier job that is in the controller, cell for cell. */
  readonly ours?: number;
  readonly tables: {
    readonly verdict: "still ours" | "ours but for some cells" | "another calibration" | "as the reference again" | "not known";
    readonly cellsChanged: number;
    readonly cells: number;
    readonly changed: readonly Pick<Edit, "table" | "cells" | "summary">[];
    readonly missing: readonly string[];
  };
  readonly basis: "moved since" | "these recordings alone";
  /** The furthest first; canonical units. */
  readonly moved: readonly {
    readonly title: string;
    readonly unit: string;
    readonly by: number;
    readonly spreads: number;
    readonly atHandover?: number;
    readonly onReturn?: number;
  }[];
  readonly suspects: readonly Suspect[];
  /** What was otherwise on the day, and how it was taken out. */
  readonly conditions: readonly string[];
  readonly couldNot: readonly string[];
}

export interface About {
  /** As it shall be printed; the report has no clock of its own. */
  readonly date?: string;
  readonly by?: string;
  readonly job?: string;
  readonly revision?: string;
  readonly tool?: string;
}

export interface FileRecord {
  readonly path: string;
  readonly sha256: string;
  readonly bytes?: number;
  /** "read" or "written". */
  readonly direction?: "read" | "written";
}

/** Before and after of one correction, cell by cell. */
export interface CorrectionDetail {
  readonly role: string;
  readonly before: Table;
  readonly after: Table;
  /** Posterior standard deviation of each cell, in percent of its value; NaN where nothing was seen. */
  readonly deviationPercent?: ArrayLike<number>;
  /** Effective samples (or seconds) that bear on each cell; 0 is not seen. */
  readonly seen?: ArrayLike<number>;
}

/** A recording, or a part of it, to draw: one clock, columns by signal id, NaN where there is no sample. */
export interface Trace {
  readonly file: string;
  readonly timeS: ArrayLike<number>;
  readonly columns: readonly TraceColumn[];
  readonly moments?: readonly { readonly kind: string; readonly fromS: number; readonly toS: number }[];
}

export interface TraceColumn {
  /** Signal id, or a name of one's own for what was computed. */
  readonly signal: string;
  /** Left out: the signal dictionary's. */
  readonly name?: string;
  readonly unit?: string;
  readonly values: ArrayLike<number>;
}

/** Residual against operating point, with the curves of the stories. */
export interface StoryDetail {
  readonly title: string;
  /** The finding, as a sentence; left out: a plain one is written. */
  readonly caption?: string;
  /** Which suspect it belongs to; left out: shown with what the recordings show. */
  readonly fault?: string;
  readonly x: { readonly name: string; readonly unit: string };
  readonly y: { readonly name: string; readonly unit: string };
  readonly points: { readonly x: ArrayLike<number>; readonly y: ArrayLike<number>; readonly weight?: ArrayLike<number>; readonly sd?: ArrayLike<number> };
  readonly curves?: readonly {
    readonly fault?: string;
    readonly label?: string;
    readonly x: ArrayLike<number>;
    readonly y: ArrayLike<number>;
    readonly low?: ArrayLike<number>;
    readonly high?: ArrayLike<number>;
  }[];
}

/** Whether a recording's exhaust measurement was moved to the mixture it tells of: some seconds in which it swings (shares, about their mean), and what each delay would leave. */
export interface AlignmentDetail {
  readonly file: string;
  readonly caption: string;
  readonly delayS: number;
  readonly window: {
    readonly timeS: ArrayLike<number>;
    readonly asked: ArrayLike<number>;
    readonly asLogged: ArrayLike<number>;
    readonly movedBack: ArrayLike<number>;
  };
  readonly tried: { readonly delayS: ArrayLike<number>; readonly left: ArrayLike<number> };
}

export interface CoverageDetail {
  readonly title: string;
  readonly caption?: string;
  readonly x: { readonly name: string; readonly unit: string; readonly values: ArrayLike<number> };
  readonly y: { readonly name: string; readonly unit: string; readonly values: ArrayLike<number> };
  readonly dwellS: ArrayLike<number>;
  readonly next?: readonly { readonly x: number; readonly y: number; readonly why?: string }[];
}

/** One sweep as arrays over engine speed; several are drawn together with the range between them. */
export interface SweepDetail {
  readonly file: string;
  readonly rpm: ArrayLike<number>;
  readonly powerKw: ArrayLike<number>;
  readonly torqueNm: ArrayLike<number>;
  readonly lambda?: ArrayLike<number>;
  readonly lambdaTarget?: ArrayLike<number>;
  readonly knockRetardDeg?: ArrayLike<number>;
  readonly sparkDeg?: ArrayLike<number>;
  readonly mapKpa?: ArrayLike<number>;
  readonly mapTargetKpa?: ArrayLike<number>;
  readonly injectorDutyPercent?: ArrayLike<number>;
  readonly slipRpm?: ArrayLike<number>;
  readonly intakeAirC?: ArrayLike<number>;
}

/** The sweeps of one calibration, and in a sentence how well they repeat. */
export interface SweepSeries {
  /** "as received", "revision 2, idle": as it stands in running text. */
  readonly name: string;
  readonly pulls: readonly PullResult[];
  readonly sweeps: readonly SweepDetail[];
  readonly repeats: string;
}

/** What one calibration gives over another, and whether that is real. */
export interface SweepGain {
  readonly from: string;
  readonly to: string;
  readonly summary: string;
  readonly measures: readonly (Gained & { readonly measure: "curve" | "peak power" | "peak torque"; readonly verdict: GainVerdict })[];
  readonly byRpm: readonly (Gained & { readonly rpm: number })[];
  readonly remarks: readonly string[];
}

export type GainVerdict = "real gain" | "real loss" | "not distinguishable";

interface Gained {
  readonly differencePercent: number;
  readonly lowPercent: number;
  readonly highPercent: number;
}

/** An item of the list before a pull, and who ticked it when. */
export interface ChecklistItem {
  readonly item: string;
  readonly ticked: boolean;
  readonly at?: string;
  readonly by?: string;
}

export interface NextTest {
  readonly title: string;
  readonly how?: string;
  readonly minutes?: number;
  readonly cautions?: readonly string[];
  /** What it tells apart, or what it is expected to bring. */
  readonly tells?: string;
}

export interface ChangeRecord {
  readonly table: string;
  readonly role?: string;
  readonly what: string;
  /** Cells that it set. */
  readonly cells?: number;
  /** Set by a person rather than fitted: the reason is then in that person's words. */
  readonly isByHand?: boolean;
  readonly reason: string;
  readonly by?: string;
  readonly on?: string;
}

/** What the calibrator wants said to the owner, in their own words; what is left out is written from the result. */
export interface Handover {
  readonly found?: readonly string[];
  readonly done?: readonly string[];
  readonly notDone?: readonly { readonly what: string; readonly why: string }[];
  readonly parts?: readonly { readonly part: string; readonly why: string; readonly quality?: string }[];
  readonly watch?: readonly string[];
  readonly fuel?: string;
  readonly contact?: string;
}

/** Fonts to carry in the page, as base64 of WOFF2 files; without them the reader's own fonts serve. */
export interface Fonts {
  readonly words?: string;
  readonly wordsBold?: string;
  readonly figures?: string;
  readonly figuresBold?: string;
}
