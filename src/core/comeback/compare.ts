import { explainEdits } from "../edits/index.ts";
import { type DiagnosisInput, diagnose, movedResiduals } from "../faults/index.ts";
import type { Edit, Suspect } from "../result/index.ts";
import type { Calibration } from "../tables/index.ts";
import { MEASURES } from "./measures/index.ts";
import { keptMeasure, type Signature } from "./signature.ts";

/** A figure, or a residual over a region of operation, that can be held against the handover. */
export interface Moved {
  readonly id: string;
  readonly title: string;
  readonly unit: string;
  /** By how much it moved. */
  readonly by: number;
  /** Standard deviation that the movement has in a sound vehicle. */
  readonly spread: number;
  /** `by` / `spread`. */
  readonly spreads: number;
  /** The figure itself; residuals are compared region by region and have none. */
  readonly atHandover?: number;
  readonly onReturn?: number;
  readonly recording?: string;
  readonly fromS?: number;
  readonly toS?: number;
}

/** Whose calibration is in the controller. */
export interface CalibrationSince {
  readonly verdict: "still ours" | "changed since" | "as the reference again" | "not known";
  /** Tables that differ from what left, with what was done to them. */
  readonly changed: readonly Edit[];
  /** Titles of tables that left with the vehicle and are not in what came back. */
  readonly missing: readonly string[];
}

export interface ComebackComparison {
  /** Largest movement first, residuals and measures together. */
  readonly moved: readonly Moved[];
  /** Which faults the movement speaks for; sums to 1. */
  readonly suspects: readonly Suspect[];
  /** Whether suspects rest on what moved, or, because tables were changed since, on the new recordings alone. */
  readonly basis: "moved since" | "these recordings alone";
  readonly calibration: CalibrationSince;
  readonly couldNot: readonly string[];
}

/** Tables whose change moves the residuals themselves. */
const RESIDUAL_ROLES: ReadonlySet<string> = new Set([
  "air.ve",
  "air.meter-curve",
  "air.charge-temperature-blend",
  "air.model-switch-speed",
  "fuel.injector-flow",
  "fuel.injector-dead-time",
  "fuel.stoich",
  "throttle.area-curve",
]);

/**
 * Holds a vehicle that has come back against how it left: which figures moved and by how many spreads, which faults that speaks for, and whose
 * tables are in the controller. `left` is the calibration with which it left.
 */
export function compareWithSignature(signature: Signature, now: DiagnosisInput, left: Calibration | undefined): ComebackComparison {
  const calibration = calibrationSince(now, left);
  const isComparable = calibration.verdict !== "not known" && !calibration.changed.some((edit) => edit.role !== undefined && RESIDUAL_ROLES.has(edit.role));
  const input = isComparable ? { ...now, earlier: signature.residuals } : now;
  const measured = movedMeasures(signature, now);
  const couldNot = [
    ...(calibration.verdict === "not known" ? ["whose calibration it is: what left with the vehicle or what came back is not there"] : []),
    ...(isComparable ? [] : ["residuals then and now: they belong to other tables, so suspects rest on the new recordings alone"]),
    ...measured.couldNot,
  ];
  return {
    moved: [...(isComparable ? residualsThenAndNow(input) : []), ...measured.moved].sort(
      (a, b) => Math.abs(b.spreads) - Math.abs(a.spreads) || (a.id < b.id ? -1 : 1),
    ),
    suspects: diagnose(input).suspects,
    basis: isComparable ? "moved since" : "these recordings alone",
    calibration,
    couldNot,
  };
}

function residualsThenAndNow(input: DiagnosisInput): readonly Moved[] {
  return movedResiduals(input).map(({ id, title, unit, value, sd, span }) => ({
    id,
    title,
    unit,
    by: value,
    spread: sd,
    spreads: value / sd,
    recording: span.recording,
    fromS: span.fromS,
    toS: span.toS,
  }));
}

function movedMeasures(signature: Signature, now: DiagnosisInput): { moved: readonly Moved[]; couldNot: readonly string[] } {
  const moved: Moved[] = [];
  const couldNot: string[] = [];
  for (const measure of MEASURES) {
    const before = signature.measures.find((kept) => kept.id === measure.id);
    const after = keptMeasure(measure, now.observations);
    if (before === undefined && after === undefined) continue;
    if (before === undefined || after === undefined) {
      couldNot.push(`${measure.title}: seen ${before === undefined ? "now" : "when it left"} but not ${before === undefined ? "when it left" : "now"}`);
      continue;
    }
    const spread = Math.hypot(measure.usualSd(before.value), before.scatter / Math.sqrt(before.spells), after.scatter / Math.sqrt(after.spells));
    const { id, title, unit } = measure;
    const by = after.value - before.value;
    moved.push({ id, title, unit, by, spread, spreads: by / spread, atHandover: before.value, onReturn: after.value });
  }
  return { moved, couldNot };
}

function calibrationSince({ calibration, reference }: DiagnosisInput, left: Calibration | undefined): CalibrationSince {
  if (calibration === undefined || left === undefined) return { verdict: "not known", changed: [], missing: [] };
  const changed = explainEdits(calibration, left).filter((edit) => edit.kind !== "unchanged");
  const here = new Set(calibration.tables.map((table) => table.title));
  const missing = left.tables.map((table) => table.title).filter((title) => !here.has(title));
  if (changed.length === 0) return { verdict: "still ours", changed, missing };
  const isReference = reference !== undefined && explainEdits(calibration, reference).every((edit) => edit.kind === "unchanged");
  return { verdict: isReference ? "as the reference again" : "changed since", changed, missing };
}
