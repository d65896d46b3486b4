import { lastAtMost, median, quantile } from "../../base/index.ts";
import { robustSd } from "../statistics/index.ts";

/** Values of a sparse column on other rows: linear between samples, held at the ends; NaN throughout when it has no sample. */
export function fillBetween(timeS: Float64Array, values: Float64Array, atS: Float64Array): Float64Array {
  const rows: number[] = [];
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i]!)) rows.push(i);
  if (rows.length === 0) return new Float64Array(atS.length).fill(Number.NaN);
  const knownS = Float64Array.from(rows, (i) => timeS[i]!);
  return atS.map((t) => {
    const k = lastAtMost(knownS, t);
    if (k < 0) return values[rows[0]!]!;
    if (k >= rows.length - 1) return values[rows.at(-1)!]!;
    const low = values[rows[k]!]!;
    return low + ((t - knownS[k]!) / (knownS[k + 1]! - knownS[k]!)) * (values[rows[k + 1]!]! - low);
  });
}

/** Median of the samples within `half` of each, shorter at the ends. */
export function runningMedian(values: Float64Array, half: number): Float64Array {
  return values.map((_, i) => median(values.subarray(Math.max(0, i - half), i + half + 1)));
}

/** Longest excursion that counts as a spike of the instrument: a real event of the engine lasts longer than this many samples. */
const SPIKE_SAMPLES = 2;

/**
 * Takes out spikes of one or two samples: those further from their neighbours' median than 6 standard deviations of such
 * distances and 3 % of the whole. They are replaced by the line between the samples beside them.
 */
export function withoutSpikes(values: Float64Array): { readonly values: Float64Array; readonly rows: readonly number[] } {
  const smooth = runningMedian(values, SPIKE_SAMPLES + 1);
  const distance = values.map((value, i) => value - smooth[i]!);
  const limit = Math.max(6 * robustSd(distance, 0), 0.03 * Math.abs(quantile(values, 0.9)));
  const rows = [...values.keys()].filter((i) => Math.abs(distance[i]!) > limit && standsOut(values, i, limit));
  if (rows.length === 0) return { values, rows };
  const bridged = values.slice();
  for (const row of rows) bridged[row] = Number.NaN;
  const places = Float64Array.from(values.keys());
  return { values: fillBetween(places, bridged, places), rows };
}

/** A spike stands above (or below) something on both sides, another spike beside it or not; the corner of a step stands out on one side only. */
function standsOut(values: Float64Array, i: number, limit: number): boolean {
  const before = values.subarray(Math.max(0, i - SPIKE_SAMPLES), i);
  const after = values.subarray(i + 1, i + 1 + SPIKE_SAMPLES);
  if (before.length === 0 || after.length === 0) return false;
  const here = values[i]!;
  const isAbove = (side: Float64Array): boolean => here > Math.min(...side) + limit / 2;
  const isBelow = (side: Float64Array): boolean => here < Math.max(...side) - limit / 2;
  return (isAbove(before) && isAbove(after)) || (isBelow(before) && isBelow(after));
}

/**
 * First-order lag of a series that runs straight between its samples, exact for any spacing; starts at the first value.
 *
 * @source formula-sheet; PH-10a is its answer to a step
 */
export function laggedSeries(timeS: Float64Array, values: Float64Array, lagS: number): Float64Array {
  const lagged = new Float64Array(values.length);
  if (values.length > 0) lagged[0] = values[0]!;
  for (let i = 1; i < values.length; i++) {
    const stepS = timeS[i]! - timeS[i - 1]!;
    const behind = ((values[i]! - values[i - 1]!) / stepS) * lagS;
    lagged[i] = values[i]! - behind + (lagged[i - 1]! - values[i - 1]! + behind) * Math.exp(-stepS / lagS);
  }
  return lagged;
}

/** Slope of the parabola through the samples within `halfS` of each instant [unit/s]: a derivative that keeps linear and curved runs. */
export function localSlope(timeS: Float64Array, values: Float64Array, halfS: number): Float64Array {
  let from = 0;
  let to = 0;
  return timeS.map((t) => {
    while (timeS[from]! < t - halfS - 1e-9) from++;
    while (to < timeS.length && timeS[to]! <= t + halfS + 1e-9) to++;
    return slopeAt(timeS, values, t, from, to);
  });
}

/** Slope at t of the least-squares parabola over rows [from, to); NaN with fewer than three samples. */
function slopeAt(timeS: Float64Array, values: Float64Array, t: number, from: number, to: number): number {
  const s = [0, 0, 0, 0, 0];
  const y = [0, 0, 0];
  for (let i = from; i < to; i++) {
    const x = timeS[i]! - t;
    let power = 1;
    for (let k = 0; k < 5; k++) {
      s[k]! += power;
      if (k < 3) y[k]! += power * values[i]!;
      power *= x;
    }
  }
  const [n, sx, sxx, sx3, sx4] = s as [number, number, number, number, number];
  const [sy, sxy, sxxy] = y as [number, number, number];
  const det = n * (sxx * sx4 - sx3 * sx3) - sx * (sx * sx4 - sx3 * sxx) + sxx * (sx * sx3 - sxx * sxx);
  return (n * (sxy * sx4 - sx3 * sxxy) - sy * (sx * sx4 - sxx * sx3) + sxx * (sx * sxxy - sxx * sxy)) / det;
}

/** Means of as many neighbouring rows as make up `leastS`; the columns as they are when the rows already lie that far apart. */
export function blockMeans<Column extends string>(
  columns: Readonly<Record<Column | "timeS", Float64Array>>,
  leastS: number,
): Record<Column | "timeS", Float64Array> {
  const { timeS } = columns;
  const spacingS = median(timeS.subarray(1).map((t, i) => t - timeS[i]!));
  const size = Math.floor(leastS / spacingS + 1e-6);
  if (!(size > 1)) return columns;
  const blocks = Math.floor(timeS.length / size);
  const means = (values: Float64Array): Float64Array =>
    Float64Array.from({ length: blocks }, (_, b) => values.subarray(b * size, (b + 1) * size).reduce((sum, v) => sum + v, 0) / size);
  return Object.fromEntries(Object.entries<Float64Array>(columns).map(([name, values]) => [name, means(values)])) as Record<Column | "timeS", Float64Array>;
}
