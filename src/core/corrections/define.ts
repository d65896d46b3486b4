import type { Observations } from "../residuals/index.ts";
import type { FaultId, Finding, Intake, Suspect } from "../result/index.ts";
import type { Calibration, Role, Table } from "../tables/index.ts";
import type { AirFit } from "./air/air-fit.ts";
import type { ChargeHeating } from "./air/charge-heating.ts";
import type { InjectorFit } from "./fuel/injector-fit.ts";
import type { InjectorSheet } from "./fuel/injector-sheet.ts";

/** Everything a correction may look at. Nothing in it may be changed. */
export interface CorrectionInput {
  readonly calibration: Calibration;
  readonly reference: Calibration | undefined;
  readonly intake: Intake;
  readonly observations: readonly Observations[];
  /** What the faults room thinks is wrong; empty: nothing is known, and everything is taken as healthy. */
  readonly suspects: readonly Suspect[];
  readonly findings: readonly Finding[];
  /** Data sheets that the shop keeps. */
  readonly injectorSheets?: readonly InjectorSheet[];
  /** What the diagnosis wants mended first, and the roles that this holds back. */
  readonly repairFirst?: readonly { readonly fault: string; readonly probability: number; readonly holds: readonly Role[] }[];
}

/** A table that the data ask for, whole, with how sure each cell is. All arrays run along the table's cells. */
export interface CorrectionProposal {
  readonly role: Role;
  /** As received, canonical units. */
  readonly before: Table;
  /** Corrected, rounded to the table's own number format. */
  readonly after: Table;
  /** Standard deviation of each corrected cell, as a share of its value (`relative`) or in the table's unit (`absolute`). */
  readonly sd: Float64Array;
  readonly sdKind: "relative" | "absolute";
  /** Independent samples that speak for each cell. */
  readonly coverage: Float64Array;
  readonly cellsChanged: number;
  /** Cells with enough independent samples to be changed on their own evidence (RT-29). */
  readonly cellsCovered: number;
  readonly meanAbsChangePercent: number;
  /** What held the change back, in words: largest step, monotony, number format, safe direction. */
  readonly limited: readonly string[];
  readonly why: string;
  /** Fault that would poison this correction: repair first. */
  readonly heldBecause?: string;
}

/** What one correction hands back before it is limited, rounded and counted. */
export interface CellChange {
  /** Corrected cells, canonical unit, not yet rounded. */
  readonly cells: Float64Array;
  readonly sd: Float64Array;
  readonly sdKind: "relative" | "absolute";
  readonly coverage: Float64Array;
  readonly limited?: readonly string[];
  readonly why: string;
  readonly heldBecause?: string;
}

/** One correction: says everything about itself. A role in `needs` that is missing gives a couldNot line, and `compute` is not called. */
export interface CorrectionDefinition {
  readonly id: string;
  readonly title: string;
  /** Role written; `needs` are the tables that must be there. */
  readonly writes: Role;
  readonly needs: readonly Role[];
  /** What the recordings must hold, in words, for the reference page. */
  readonly observationsNeeded: string;
  readonly why: string;
  /** Faults that would poison the correction; one that reaches `HOLD_PROBABILITY` holds it back. */
  readonly heldBy: readonly FaultId[];
  /** Largest change of a cell on thin evidence, as a share of its value; Infinity: no limit. */
  readonly largestStep: number;
  /** Cells must not fall along this direction. */
  readonly monotone?: "rising" | "falling";
  readonly sources: readonly string[];
  compute(input: CorrectionInput & { readonly table: Readonly<Record<string, Table>>; readonly shared: SharedFits }): CorrectionOutcome;
}

/** Fits that several corrections draw on: made when first asked for, once a run. */
export interface SharedFits {
  /** Joint fit of the air tables; undefined when no recording says anything of them. */
  air(): AirFit | undefined;
  /** What warm-up and heat soak say of the charge's heating; undefined when they say too little. */
  heating(): ChargeHeating | undefined;
  /** What the drive says of the injectors; undefined when it says too little. */
  injectors(): InjectorFit | undefined;
}

/** A change, or the reason why there is none: `couldNot` when an input is missing, neither when nothing asks for one. */
export interface CorrectionOutcome {
  readonly change?: CellChange;
  readonly couldNot?: string;
}

export function defineCorrection(definition: CorrectionDefinition): CorrectionDefinition {
  return definition;
}

/** A fault this probable holds back what it would poison. Common practice (repair first), no published source. */
export const HOLD_PROBABILITY = 0.5;

/** Probability of a fault among the suspects; 0 when it is not listed. */
export function probabilityOf(suspects: readonly Suspect[], fault: string): number {
  return suspects.find((suspect) => suspect.fault === fault)?.probability ?? 0;
}

/** Most probable of the faults that reaches the threshold, if any. */
export function holdingFault(suspects: readonly Suspect[], faults: readonly string[], threshold = HOLD_PROBABILITY): string | undefined {
  const worst = [...suspects].filter((s) => faults.includes(s.fault) && s.probability >= threshold).sort((a, b) => b.probability - a.probability)[0];
  return worst?.fault;
}
