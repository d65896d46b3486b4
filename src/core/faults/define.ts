import type { Evidence, FaultId } from "../result/index.ts";
import type { Role } from "../tables/index.ts";
import type { SignalId } from "../units/index.ts";
import type { Deviation, OperatingPoint } from "./deviation.ts";
import type { Facts } from "./facts.ts";
import type { WorkshopTestId } from "./workshop-tests/index.ts";

/** The unknown size of a fault: the range that occurs, from just worth finding to gross, all equally likely. */
export interface Size {
  readonly name: string;
  readonly unit: string;
  readonly low: number;
  readonly high: number;
}

/** One way a fault shows itself: how the deviation follows from its size. A fault with several ways averages over them. */
export interface Manner {
  readonly id: string;
  readonly says: string;
  /** Share of cases, of all manners of the fault. */
  readonly share: number;
  /** Whether this vehicle can show it in this manner; left out: it can. */
  applies?(facts: Facts): boolean;
  deviate(size: number, at: OperatingPoint, facts: Facts): Deviation;
}

/** What moves the residuals: one size, one or several manners. */
export interface Story {
  readonly size: Size;
  readonly manners: readonly Manner[];
  /** Size in the unit that a person reads, e.g. mm² from the share of idle air. */
  shown?(size: number, facts: Facts): { readonly name: string; readonly unit: string; readonly value: number };
}

/** What signals say about a fault by themselves, outside the residuals. */
export interface DirectEvidence {
  /** ln of how much likelier the signals are with the fault than without; 0 when they say nothing. */
  readonly logRatio: number;
  readonly for: readonly Evidence[];
  readonly against: readonly Evidence[];
  readonly sizes?: readonly { readonly name: string; readonly unit: string; readonly value: number; readonly low: number; readonly high: number }[];
  /** What the signals could not say and which one lacked. */
  readonly couldNot?: readonly string[];
}

/** A fact of the intake or the calibration that makes a fault likelier or less likely before anything is measured. */
export interface PriorReason {
  readonly factor: number;
  readonly because: string;
}

/** One fault: says everything about itself; the inference, the pages and the tests are derived from it. */
export interface Fault {
  readonly id: FaultId;
  readonly title: string;
  readonly what: string;
  /** What it does to the residuals and signals, in words. */
  readonly moves: string;
  /** How to tell it from its neighbours. */
  readonly neighbours: readonly { readonly fault: FaultId; readonly tell: string }[];
  /** What it costs to ignore it. */
  readonly cost: string;
  /** How common among vehicles that come in, relative to the other faults. */
  readonly prior: number;
  readonly needs: readonly SignalId[];
  /** Roles whose correction would bake this fault in. */
  readonly poisons: readonly Role[];
  /** What to record when it is in doubt. */
  readonly record?: string;
  readonly tests: readonly WorkshopTestId[];
  readonly sources: readonly string[];
  readonly story?: Story;
  /** Whether this vehicle has the part at all; left out: it has. */
  applies?(facts: Facts): boolean;
  direct?(facts: Facts): DirectEvidence;
  priorReasons?(facts: Facts): readonly PriorReason[];
}

export function defineFault(fault: Fault): Fault {
  return fault;
}
