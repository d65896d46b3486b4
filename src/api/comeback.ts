import type { Edit, Suspect } from "../core/result/index.ts";

/** A job that kept how its vehicle left. */
export interface DepartureView {
  readonly job: string;
  readonly title: string;
  /** When the signature was kept, ISO 8601. */
  readonly at: string;
  readonly revision: number;
}

/** How a vehicle leaves, as far as a person reads it, and earlier jobs on the same vehicle that kept the same. */
export interface SignatureView {
  readonly kept: {
    readonly at: string;
    readonly revision: number;
    /** Count of residuals by region of operation. */
    readonly residuals: number;
    readonly measures: readonly {
      readonly id: string;
      readonly title: string;
      readonly unit: string;
      readonly value: number;
      readonly scatter: number;
      readonly spells: number;
    }[];
    readonly couldNot: readonly string[];
  } | null;
  readonly visits: readonly DepartureView[];
}

export interface MovedView {
  readonly id: string;
  readonly title: string;
  readonly unit: string;
  readonly by: number;
  readonly spread: number;
  readonly spreads: number;
  readonly atHandover?: number;
  readonly onReturn?: number;
  readonly recording?: string;
  readonly fromS?: number;
  readonly toS?: number;
}

/** A vehicle that came back, held against how it left. */
export interface ComebackView {
  readonly earlier: DepartureView;
  /** Revision of the earlier job whose tables are in the controller, null when none is. */
  readonly ours: number | null;
  readonly basis: "moved since" | "these recordings alone";
  readonly calibration: {
    readonly verdict: "still ours" | "ours but for some cells" | "another calibration" | "as the reference again" | "not known";
    readonly cellsChanged: number;
    readonly cells: number;
    readonly changed: readonly Edit[];
    readonly missing: readonly string[];
  };
  readonly moved: readonly MovedView[];
  readonly suspects: readonly (Suspect & { readonly title: string })[];
  /** What was otherwise on the day, and how that was taken out. */
  readonly conditions: readonly string[];
  readonly couldNot: readonly string[];
}
