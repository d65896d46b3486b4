import type { StatisticsView } from "../api/index.ts";
import { firstAtLeast } from "./windows.ts";

interface Series {
  readonly timeS: Float64Array;
  readonly values: Float64Array;
}

/** Sums about the mean of some samples: how many, means of time and value, and the second moments. They can be joined without loss. */
interface Moments {
  readonly n: number;
  readonly meanT: number;
  readonly meanV: number;
  readonly tt: number;
  readonly vv: number;
  readonly tv: number;
  readonly least: number;
  readonly greatest: number;
}

/** Moments of each block of a series, so that the statistics of any span cost about as much as its two ragged ends. */
export interface Blocks {
  readonly series: Series;
  readonly blocks: readonly Moments[];
}

const BLOCK = 4096;
const NONE: Moments = {
  n: 0,
  meanT: 0,
  meanV: 0,
  tt: 0,
  vv: 0,
  tv: 0,
  least: Number.POSITIVE_INFINITY,
  greatest: Number.NEGATIVE_INFINITY,
};

export function blocksOf(series: Series): Blocks {
  const count = Math.ceil(series.values.length / BLOCK);
  return { series, blocks: Array.from({ length: count }, (_, b) => momentsOf(series, b * BLOCK, Math.min(series.values.length, (b + 1) * BLOCK))) };
}

/** Mean, deviation, extremes and slope of a series over a span, and its last value at or before an instant. NaN is no sample. */
export function statisticsOf(
  id: string,
  from: Blocks | undefined,
  ask: { readonly fromS: number; readonly toS: number; readonly atS: number | undefined },
): StatisticsView {
  if (from === undefined) return { id, mean: null, sd: null, least: null, greatest: null, slopePerS: null, at: null };
  const { timeS, values } = from.series;
  const first = firstAtLeast(timeS, ask.fromS);
  const sums = joined(from, first, after(timeS, ask.toS, first));
  const known = (value: number): number | null => (sums.n > 0 && Number.isFinite(value) ? value : null);
  return {
    id,
    mean: known(sums.meanV),
    sd: known(Math.sqrt(sums.vv / sums.n)),
    least: known(sums.least),
    greatest: known(sums.greatest),
    slopePerS: sums.tt > 0 ? known(sums.tv / sums.tt) : null,
    at: ask.atS === undefined ? null : valueAt(timeS, values, ask.atS),
  };
}

/** Rows up to and including an instant. */
function after(timeS: Float64Array, atS: number, from = 0): number {
  let end = firstAtLeast(timeS, atS, from);
  while (end < timeS.length && timeS[end]! <= atS) end++;
  return end;
}

function valueAt(timeS: Float64Array, values: Float64Array, atS: number): number | null {
  for (let i = after(timeS, atS) - 1; i >= 0; i--) if (!Number.isNaN(values[i]!)) return values[i]!;
  return null;
}

function joined({ series, blocks }: Blocks, from: number, to: number): Moments {
  const first = Math.ceil(from / BLOCK);
  const last = Math.floor(to / BLOCK);
  if (first >= last) return momentsOf(series, from, to);
  return [momentsOf(series, from, first * BLOCK), ...blocks.slice(first, last), momentsOf(series, last * BLOCK, to)].reduce(join, NONE);
}

function momentsOf({ timeS, values }: Series, from: number, to: number): Moments {
  let [n, meanT, meanV, tt, vv, tv] = [0, 0, 0, 0, 0, 0];
  let [least, greatest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let i = from; i < to; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    n++;
    const [offT, offV] = [timeS[i]! - meanT, value - meanV];
    meanT += offT / n;
    meanV += offV / n;
    tt += offT * (timeS[i]! - meanT);
    vv += offV * (value - meanV);
    tv += offT * (value - meanV);
    if (value < least) least = value;
    if (value > greatest) greatest = value;
  }
  return { n, meanT, meanV, tt, vv, tv, least, greatest };
}

/** @source chan-1983 */
function join(a: Moments, b: Moments): Moments {
  const n = a.n + b.n;
  if (a.n === 0 || b.n === 0) return a.n === 0 ? b : a;
  const [apartT, apartV] = [b.meanT - a.meanT, b.meanV - a.meanV];
  const share = (a.n * b.n) / n;
  return {
    n,
    meanT: a.meanT + (apartT * b.n) / n,
    meanV: a.meanV + (apartV * b.n) / n,
    tt: a.tt + b.tt + apartT * apartT * share,
    vv: a.vv + b.vv + apartV * apartV * share,
    tv: a.tv + b.tv + apartT * apartV * share,
    least: Math.min(a.least, b.least),
    greatest: Math.max(a.greatest, b.greatest),
  };
}
