import type { AnalysisView, ChangedTableView, ComebackView, GuideView, PromiseView, PullsView, StatisticsView, VerificationView } from "../api/index.ts";
import type { Problem } from "../base/index.ts";
import type { Edit } from "../core/result/index.ts";
import type { Deciding, LookedAt, Side, TakeAway } from "../desk/index.ts";

/** Least and greatest value of some series in each pixel column of a span: what a screen can show of any number of samples. */
export interface WindowAsk {
  readonly what: "window";
  readonly recording: number;
  readonly signals: readonly string[];
  readonly fromS: number;
  readonly toS: number;
  readonly width: number;
}

/** Samples thinned for the operating map: x, y, colour and time of at most `most` points. */
export interface MapAsk {
  readonly what: "map";
  readonly recording: number;
  readonly colour: string;
  readonly most: number;
}

/** Statistics of series over a span, and their values at an instant. */
export interface StatisticsAsk {
  readonly what: "statistics";
  readonly recording: number;
  readonly signals: readonly string[];
  readonly fromS: number;
  readonly toS: number;
  readonly atS: number | undefined;
}

export interface ReportAsk {
  readonly what: "report";
  readonly kind: "job" | "owner" | "workshop";
  readonly units: "metric" | "imperial";
}

/** Entries that rest on the analysis: an accepted proposal is kept as it stands, a revision is made of all decisions. */
export type DecideAsk = { readonly what: "decide"; readonly deciding: Deciding; readonly why?: string };
export type ReviseAsk = { readonly what: "revise"; readonly name: string; readonly why?: string };
export type WhyAsk = { readonly what: "why"; readonly table: string; readonly row: number; readonly column: number };
export type CompareAsk = { readonly what: "compare" | "changed"; readonly from: Side; readonly to: Side };
/** `asked`: what everything that is asked for would do, as if it were accepted. */
export type PromiseAsk = { readonly what: "promise"; readonly of: "decided" | "asked" };

/** What the desk can be asked about a job; drawings, reports, decisions and revisions need the analysis and make it when it is missing. */
export type Ask =
  | { readonly what: "analyse" }
  | { readonly what: "lay-down" }
  | { readonly what: "look"; readonly name: string; readonly bytes: Uint8Array }
  | WindowAsk
  | MapAsk
  | StatisticsAsk
  | ReportAsk
  | DecideAsk
  | ReviseAsk
  | WhyAsk
  | CompareAsk
  | { readonly what: "sheets"; readonly revision: number; readonly take: TakeAway }
  | { readonly what: "verify"; readonly revision?: number }
  | PromiseAsk
  | { readonly what: "pulls"; readonly units: "metric" | "imperial" }
  | { readonly what: "guide" }
  | { readonly what: "signature" }
  | { readonly what: "comeback"; readonly from?: string };

export interface Answers {
  readonly analyse: AnalysisView;
  readonly look: LookedAt;
  /** How many recordings were laid down as columns now. */
  readonly "lay-down": { readonly laid: number };
  /** Float32 blocks: for each signal `width` least values, then `width` greatest. */
  readonly window: Uint8Array;
  /** Float32 blocks: time, rpm, pressure, colour. */
  readonly map: Uint8Array;
  readonly statistics: readonly StatisticsView[];
  readonly report: string;
  readonly decide: { readonly done: true };
  readonly revise: { readonly revision: number };
  readonly why: readonly string[];
  readonly compare: readonly Edit[];
  readonly changed: readonly ChangedTableView[];
  readonly pulls: PullsView;
  /** null where no revision was made or driven yet. */
  readonly verify: VerificationView | null;
  /** null while nothing is decided that changes a cell. */
  readonly promise: PromiseView | null;
  /** null where the job has no VE table or no recording to tell from. */
  readonly guide: GuideView | null;
  readonly signature: { readonly done: true };
  /** null where no earlier job on the vehicle kept how it left. */
  readonly comeback: ComebackView | null;
  /** A revision's sheets as an archive. */
  readonly sheets: Uint8Array;
}

export interface DeskRequest {
  readonly id: number;
  readonly slug: string;
  readonly ask: Ask;
}

export type DeskReply =
  | { readonly id: number; readonly kind: "answer"; readonly answer: unknown }
  | { readonly id: number; readonly kind: "progress"; readonly text: string; readonly share: number }
  | { readonly id: number; readonly kind: "problem"; readonly what: string; readonly problem?: Problem };
