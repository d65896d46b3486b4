import { explainEdits } from "../edits/index.ts";
import { type DiagnosisInput, diagnose, movedResiduals } from "../faults/index.ts";
import type { Edit, Suspect } from "../result/index.ts";
import type { Calibration } from "../tables/index.ts";
import { conditionsOf, daysApart, type TwoDays } from "./conditions.ts";
import { MEASURES } from "./measures/index.ts";
import { keptMeasure, type Signature } from "./signature.ts";

/** A figure, or a residual over a region of operation, that can be held against the handover. */
export interface Moved {
  readonly id: string;
  readonly title: string;
  readonly unit: string;
  /** By how much it moved, less what the day and the tank explain. */
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
  readonly verdict: "still ours" | "ours but for some cells" | "another calibration" | "as the reference again" | "not known";
  /** Cells that differ from what left, of all that could be held against each other. */
  readonly cellsChanged: number;
  readonly cells: number;
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
  /** What was otherwise on the day, and how that was taken out. */
  readonly conditions: readonly string[];
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
 * tables are in the controller.
 *
 * @param now   `calibration`: what was read from the controller now
 * @param left  the calibration with which it left; where nothing was read now, `now` is looked at as if this were still in the controller
 */
export function compareWithSignature(signature: Signature, now: DiagnosisInput, left: Calibration | undefined): ComebackComparison {
  const calibration = calibrationSince(now, left);
  const isRead = now.calibration !== undefined;
  const isComparable = left !== undefined && !calibration.changed.some((edit) => edit.role !== undefined && RESIDUAL_ROLES.has(edit.role));
  const known = isRead || left === undefined ? now : { ...now, calibration: left };
  const input = isComparable ? { ...known, earlier: signature.residuals } : known;
  const days = { before: signature.conditions, after: conditionsOf(now) };
  const measured = movedMeasures(signature, now, days);
  const couldNot = [
    ...(isRead ? [] : ["whose calibration it is: none was read from the controller this time"]),
    ...(isRead || left === undefined ? [] : ["residuals then and now rest on the tables that left, as if they were still in the controller"]),
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
    conditions: daysApart(days),
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

function movedMeasures(signature: Signature, now: DiagnosisInput, days: TwoDays): { moved: readonly Moved[]; couldNot: readonly string[] } {
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
    const theDay = measure.byTheDay?.(days) ?? { by: 0, sd: 0 };
    const seen = Math.hypot(before.scatter / Math.sqrt(before.spells), after.scatter / Math.sqrt(after.spells));
    const spread = Math.hypot(measure.usualSd(before.value), seen, theDay.sd);
    const { id, title, unit } = measure;
    const by = after.value - before.value - theDay.by;
    moved.push({ id, title, unit, by, spread, spreads: by / spread, atHandover: before.value, onReturn: after.value });
  }
  return { moved, couldNot };
}

/** From this share of differing cells on, nobody would call it the same calibration. Common practice, no published source. */
const ANOTHER_FROM = 0.5;

function calibrationSince({ calibration, reference }: DiagnosisInput, left: Calibration | undefined): CalibrationSince {
  if (calibration === undefined || left === undefined) return { verdict: "not known", cellsChanged: 0, cells: 0, changed: [], missing: [] };
  const changed = explainEdits(calibration, left).filter((edit) => edit.kind !== "unchanged" && edit.kind !== "missing");
  const here = new Set(calibration.tables.map((table) => table.title));
  const missing = left.tables.map((table) => table.title).filter((title) => !here.has(title));
  const cells = calibration.tables.reduce((sum, table) => sum + table.cells.length, 0);
  const cellsChanged = changed.reduce((sum, edit) => sum + edit.cells, 0);
  const counts = { cellsChanged, cells, changed, missing };
  if (changed.length === 0) return { verdict: "still ours", ...counts };
  if (reference !== undefined && explainEdits(calibration, reference).every((edit) => edit.kind === "unchanged"))
    return { verdict: "as the reference again", ...counts };
  return { verdict: cellsChanged >= ANOTHER_FROM * cells ? "another calibration" : "ours but for some cells", ...counts };
}
