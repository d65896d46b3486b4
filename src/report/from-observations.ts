import { lastAtMost } from "../base/index.ts";
import { lookUpWeights, type Table } from "../core/tables/index.ts";
import type { CoverageDetail, StoryDetail } from "./model.ts";
import { ENGLISH, type Texts } from "./texts/index.ts";

/** What the pictures need of a recording read against its tables: arrays of shape (n), NaN where not known. */
export interface ObservedArrays {
  readonly dtS: number;
  readonly rpm: Float64Array;
  readonly mapKpa: Float64Array;
  readonly controllerGps: Float64Array;
  /** ln of real air over real fuel against what was assumed. */
  readonly fuelResidual: Float64Array;
  /** ln of metered over speed-density air. */
  readonly modelResidual: Float64Array;
  /** How much a sample counts, 0–1. */
  readonly steadiness: Float64Array;
}

/** Fuel and model residuals of all recordings against airflow, in percent; a residual that nowhere is known is left out. */
export function residualStories(observed: readonly ObservedArrays[], texts: Texts = ENGLISH): StoryDetail[] {
  const t = texts.recordings;
  const stories = [
    storyOfResidual(observed, (one) => one.fuelResidual, t.fuelResidualTitle, t.fuelResidual, t.airflow),
    storyOfResidual(observed, (one) => one.modelResidual, t.modelResidualTitle, t.modelResidual, t.airflow),
  ];
  return stories.filter((story) => story !== undefined);
}

function storyOfResidual(
  observed: readonly ObservedArrays[],
  of: (one: ObservedArrays) => Float64Array,
  title: string,
  yName: string,
  xName: string,
): StoryDetail | undefined {
  const x: number[] = [];
  const y: number[] = [];
  const weight: number[] = [];
  for (const one of observed)
    of(one).forEach((ln, i) => {
      const flow = one.controllerGps[i]!;
      if (!Number.isFinite(ln) || !(flow > 0) || !(one.steadiness[i]! > 0)) return;
      x.push(flow);
      y.push(100 * Math.expm1(ln));
      weight.push(one.steadiness[i]!);
    });
  return x.length < 20 ? undefined : { title, x: { name: xName, unit: "g/s" }, y: { name: yName, unit: "%" }, points: { x, y, weight } };
}

/** Seconds that all recordings together spent near each cell of a table over engine speed and manifold pressure. */
export function coverageOf(
  observed: readonly ObservedArrays[],
  table: Table,
  next: CoverageDetail["next"] = [],
  texts: Texts = ENGLISH,
): CoverageDetail | undefined {
  if (table.x === undefined || table.y === undefined || observed.length === 0) return undefined;
  const dwellS = new Float64Array(table.cells.length);
  for (const one of observed)
    one.rpm.forEach((rpm, i) => {
      const kpa = one.mapKpa[i]!;
      if (!(rpm > 0) || !Number.isFinite(kpa)) return;
      const { cells, weights } = lookUpWeights(table, rpm, kpa);
      cells.forEach((cell, k) => {
        dwellS[cell] = dwellS[cell]! + weights[k]! * one.dtS;
      });
    });
  return { title: texts.recordings.coverageTitle(table.title), x: table.x, y: table.y, dwellS: dwellS.map((s) => (s < 0.05 ? 0 : s)), next };
}

/** A signal of a sweep on given engine speeds: the mean of the counted samples nearest to each, NaN where there is none. */
export function alongSpeed(
  rpm: ArrayLike<number>,
  samples: { readonly rpm: ArrayLike<number>; readonly values: ArrayLike<number>; readonly counts?: ArrayLike<number> },
): Float64Array {
  const sums = new Float64Array(rpm.length);
  const counted = new Float64Array(rpm.length);
  for (let i = 0; i < samples.rpm.length; i++) {
    const value = samples.values[i]!;
    if (!Number.isFinite(value) || samples.counts?.[i] === 0) continue;
    const nearest = nearestIndex(rpm, samples.rpm[i]!);
    if (nearest < 0) continue;
    sums[nearest] = sums[nearest]! + value;
    counted[nearest] = counted[nearest]! + 1;
  }
  return sums.map((sum, i) => (counted[i]! > 0 ? sum / counted[i]! : Number.NaN));
}

/** Index of the nearest of ascending values; −1 beyond either end. */
function nearestIndex(ascending: ArrayLike<number>, value: number): number {
  const last = ascending.length - 1;
  if (last < 0 || !(value >= ascending[0]!) || value > ascending[last]!) return -1;
  const below = lastAtMost(ascending, value);
  return below < last && ascending[below + 1]! - value < value - ascending[below]! ? below + 1 : below;
}
