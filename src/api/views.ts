import type { Intake, Result } from "../core/result/index.ts";
import type { SignalId } from "../core/units/index.ts";

/** What the server tells the bench. Plain JSON; arrays of numbers use null where there is no value. */
export type Numbers = readonly (number | null)[];

export interface StationView {
  readonly id: string;
  readonly name: string;
  readonly state: "empty" | "begun" | "waiting" | "done";
  /** Findings or questions still open at this station. */
  readonly open: number;
}

export interface WaitView {
  readonly number: number;
  readonly since: string;
  readonly kind: string;
  readonly what: string;
  readonly until?: string;
  /** Fault that a part is to mend, and what is to be measured again when it is in. */
  readonly fault?: string;
  readonly measureAgain: readonly string[];
}

/** One job on the board. */
export interface JobCard {
  readonly slug: string;
  readonly title: string;
  readonly vehicle: string;
  readonly createdAt: string;
  readonly lastAt: string;
  readonly stations: readonly StationView[];
  readonly waits: readonly WaitView[];
  readonly nextAction: { readonly station: string; readonly text: string };
  /** Set when the journal is damaged, in words. */
  readonly damage?: string;
}

/** Work that goes on beside the person's: what it is, and how far. */
export interface MakingView {
  readonly text: string;
  readonly share: number;
}

export interface BoardView {
  readonly shop: string;
  readonly folder: string;
  /** Which book lies open, and what else could. */
  readonly book: {
    readonly isDemo: boolean;
    /** Whether the bench can change to the other one. */
    readonly canChange: boolean;
    /** Whether there is a book of the person's own already. */
    readonly hasOwn: boolean;
    readonly making?: MakingView;
  };
  readonly jobs: readonly JobCard[];
  /** Preferred unit by quantity: "metric" or "imperial" for each. */
  readonly units: Readonly<Record<string, string>>;
}

/** What a file is that was dropped, where it would go, and what the bench wants to be told of it. */
export interface LookView {
  readonly kind: "intake" | "table" | "recording" | "sweep" | "other";
  readonly path: string;
  readonly says: string;
  readonly doubts: readonly string[];
  readonly columns: readonly { readonly column: string; readonly unit: string; readonly signal?: string; readonly confidence?: number }[];
}

/** How the calibration was got out of the controller. */
export interface ReadView {
  readonly number: number;
  readonly at: string;
  readonly by: string;
  readonly plan: string;
  readonly method: string;
  readonly supplyV?: number;
  readonly fusesOut?: string;
  readonly connectors?: string;
  readonly oil?: "none" | "traces" | "wet";
  readonly began?: string;
  readonly minutes?: number;
  readonly who?: string;
  readonly remark?: string;
}

/** A line of the book that holds the words sought, and the station to look at. */
export interface HitView {
  readonly job: string;
  readonly title: string;
  readonly place: string;
  readonly station: string;
  readonly text: string;
  readonly at?: string;
}

export interface FileView {
  readonly path: string;
  readonly bytes: number;
  readonly sha256: string;
  readonly revision?: number;
}

export interface JobView extends JobCard {
  readonly intake: Intake | undefined;
  readonly files: readonly FileView[];
  readonly notes: readonly { readonly number: number; readonly at: string; readonly by: string; readonly text: string; readonly station?: string }[];
  readonly observed: readonly { readonly number: number; readonly at: string; readonly test: string; readonly outcome: string; readonly value?: number }[];
  readonly answers: Readonly<Record<string, { readonly answer: string; readonly why?: string }>>;
  readonly decisions: readonly {
    readonly number: number;
    readonly role: string;
    readonly decision: "accept" | "hold" | "edit";
    readonly region?: readonly [readonly [number, number], readonly [number, number]];
    readonly cells?: readonly { readonly row: number; readonly column: number; readonly value: number }[];
    readonly why?: string;
  }[];
  readonly revisions: readonly {
    readonly number: number;
    readonly name: string;
    readonly from: number;
    readonly at: string;
    readonly by: string;
    readonly why?: string;
  }[];
  readonly ticks: Readonly<Record<string, Readonly<Record<string, boolean>>>>;
  /** Roles that a person gave tables, by title; "none": it has none. */
  readonly tableRoles: Readonly<Record<string, string>>;
  /** What a person said that columns of single files of this job are. */
  readonly namedColumns: readonly { readonly file: string; readonly column: string; readonly signal: string }[];
  /** What columns mean in every recording, by the name in the file; "none" is not used. */
  readonly learnedColumns: Readonly<Record<string, string>>;
  /** Plans that the book remembers, as plain text by name. */
  readonly checklists: Readonly<Record<string, string>>;
  readonly reads: readonly ReadView[];
  readonly parts: readonly { readonly at: string; readonly part: string; readonly quantity: number; readonly quality?: string; readonly price?: number }[];
  readonly time: readonly { readonly at: string; readonly minutes: number; readonly what: string }[];
  /** What must be measured again after a repair, and whether it was since. */
  readonly measureAgain: readonly { readonly fault: string; readonly what: string; readonly settles: string; readonly by: string; readonly isDone: boolean }[];
  /** The last entry that an undo would take away, in words. */
  readonly undo?: string;
  readonly redo?: string;
}

/** A table as the bench opens it; cells row by row in canonical units. */
export interface TableView {
  readonly role?: string;
  readonly title: string;
  readonly unit: string;
  readonly x?: AxisView;
  readonly y?: AxisView;
  readonly asReceived?: Numbers;
  readonly reference?: Numbers;
  /** What the recordings ask for, with how sure (one deviation, in the table's unit) and how often seen. */
  readonly proposed?: Numbers;
  readonly deviation?: Numbers;
  readonly coverage?: Numbers;
  /** The newest revision's cells, where one was made: what decisions since then start from. */
  readonly current?: Numbers;
  readonly heldBecause?: string;
  readonly why?: string;
  readonly edit?: string;
  /** The sheet states no role: this one was guessed. */
  readonly isGuessed?: boolean;
  /** Roles that its size and units allow. */
  readonly couldBe?: readonly string[];
}

export interface AxisView {
  readonly name: string;
  readonly unit: string;
  readonly values: readonly number[];
}

export interface RecordingView {
  readonly index: number;
  readonly file: string;
  readonly folder: "recordings" | "pulls";
  readonly rows: number;
  readonly durationS: number;
  readonly signals: readonly {
    readonly id: SignalId | ComputedSignal;
    readonly name: string;
    readonly unit: string;
    readonly source?: string;
    readonly confidence?: number;
  }[];
  readonly unrecognised: readonly string[];
  readonly repairs: readonly string[];
  readonly moments: readonly { readonly kind: string; readonly fromS: number; readonly toS: number }[];
}

/** Series that are worked out rather than recorded. */
export type ComputedSignal = "fuelResidual" | "modelResidual" | "idleResidual" | "controllerAir" | "observedVe" | "steadiness";

export interface StoryView {
  readonly fault: string;
  readonly title: string;
  readonly x: { readonly name: string; readonly unit: string };
  readonly y: { readonly name: string; readonly unit: string };
  readonly points: readonly {
    readonly x: number;
    readonly y: number;
    readonly sd: number;
    readonly recording: string;
    readonly fromS: number;
    readonly toS: number;
  }[];
  readonly curve: readonly { readonly x: number; readonly y: number; readonly low: number; readonly high: number }[];
}

export interface TestView {
  readonly id: string;
  readonly title: string;
  readonly how: string;
  readonly minutes: number;
  readonly bits: number;
  readonly cautions: readonly string[];
  readonly outcomes: readonly { readonly id: string; readonly text: string }[];
}

export interface SweepView {
  readonly file: string;
  readonly rpm: Numbers;
  readonly powerKw: Numbers;
  readonly torqueNm: Numbers;
}

/** Mean error of a table in a region, as a share (or g/s of idle air): before, as the new tables would have left it, as seen with them. */
export interface VerifiedRegionView {
  readonly region: string;
  readonly before: number | null;
  readonly predicted: number | null;
  readonly observed: number | null;
  /** Mean error up to which it counts as right. */
  readonly tolerance: number;
  readonly verdict: "verified" | "not yet" | "worse" | "not driven";
}

/** Whether a revision did what it promised; of a revision that was not driven yet, what it promises. */
export interface VerificationView {
  readonly revision: number;
  readonly from: number;
  readonly verdict: VerifiedRegionView["verdict"];
  readonly tables: readonly {
    readonly role: string;
    readonly title: string;
    readonly unit: "share" | "g/s";
    readonly verdict: VerifiedRegionView["verdict"];
    readonly regions: readonly VerifiedRegionView[];
  }[];
  readonly couldNot: readonly string[];
}

/** What tables that were not driven yet would do: by table and region, and by part of the controller's reckoning. */
export interface PromiseView extends Omit<VerificationView, "revision" | "from"> {
  readonly parts: readonly ReplayPartView[];
}

/** Residual over the recorded drive before and after, shares, by airflow. */
export interface ReplayPartView {
  readonly id: "fuel" | "air";
  readonly rmsBefore: number;
  readonly rmsAfter: number;
  readonly samples: number;
  readonly bins: readonly {
    readonly airflowGps: number;
    readonly before: number;
    readonly after: number;
    readonly afterLow: number;
    readonly afterHigh: number;
  }[];
}

/** A table that differs between two calibrations of a job, cell by cell. */
export interface ChangedTableView extends Pick<TableView, "role" | "title" | "unit" | "x" | "y"> {
  readonly from: Numbers;
  readonly to: Numbers;
}

/** Everything that the analysis of a job says, but for the samples themselves. */
export interface AnalysisView {
  /** Changes whenever an input changed: what was drawn from another is stale. */
  readonly key: string;
  /** The intake as the analysis used it: the sheet that came with the job, or as last written. */
  readonly intake: Intake;
  readonly result: Result;
  readonly faults: Readonly<Record<string, { readonly title: string; readonly what: string; readonly cost: string }>>;
  readonly recordings: readonly RecordingView[];
  readonly tables: readonly TableView[];
  readonly stories: readonly StoryView[];
  readonly tests: readonly TestView[];
  readonly recordNext: readonly string[];
  /** Whether the exhaust measurement of each recording was moved to the mixture it tells of. */
  readonly alignments: readonly PictureView[];
  readonly repairFirst: readonly {
    readonly fault: string;
    readonly title: string;
    readonly probability: number;
    readonly because: string;
    readonly holds: readonly string[];
  }[];
  readonly sweeps: readonly SweepView[];
}

/** A finished picture and the sentence below it. */
export interface PictureView {
  readonly svg: string;
  readonly caption: string;
}

/** A job's sweeps by calibration, what changed between those, how they are reckoned, and the list before the next pull. */
export interface PullsView {
  readonly standards: readonly {
    readonly id: string;
    readonly name: string;
    readonly title: string;
    readonly reference: string;
    readonly limits: string;
    readonly boosted: string;
  }[];
  /** Id of the standard in use. */
  readonly standard: string;
  readonly settings: NonNullable<Intake["dynamometer"]>;
  readonly boosted: boolean;
  /** Files that can hold a coast-down. */
  readonly files: readonly string[];
  readonly revisions: readonly {
    readonly revision: number;
    readonly name: string;
    readonly repeats: string;
    readonly picture: PictureView | null;
    readonly sweeps: readonly {
      readonly file: string;
      readonly result?: Result["pulls"][number];
      readonly stops: readonly string[];
      readonly watches: readonly string[];
      readonly couldNot: readonly string[];
      readonly remarks: readonly string[];
      readonly gear?: number;
      readonly ratioToListed?: number;
    }[];
  }[];
  readonly gains: readonly {
    readonly from: string;
    readonly to: string;
    readonly summary: string;
    readonly measures: readonly {
      readonly measure: string;
      readonly differencePercent: number;
      readonly lowPercent: number;
      readonly highPercent: number;
      readonly verdict: string;
    }[];
    readonly remarks: readonly string[];
    readonly picture: PictureView | null;
  }[];
  /** Name of the list before a pull, and its items. */
  readonly list: string;
  readonly checklist: readonly { readonly item: string; readonly ticked: boolean; readonly at?: string; readonly by?: string }[];
}

/** One shape for everything that went wrong. */
export interface ProblemView {
  readonly problem: { readonly what: string; readonly do?: string; readonly at?: string };
}

/** Statistics of a series over a span, canonical units; null where the span holds no sample. */
export interface StatisticsView {
  readonly id: string;
  readonly mean: number | null;
  readonly sd: number | null;
  readonly least: number | null;
  readonly greatest: number | null;
  readonly slopePerS: number | null;
  /** Value at the cursor: the last sample before it. */
  readonly at: number | null;
}
