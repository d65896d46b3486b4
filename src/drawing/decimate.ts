import { median } from "../base/index.ts";

/** What one pixel column shows of a series, in order of time. */
export interface DecimatedPoint {
  readonly timeS: number;
  readonly value: number;
}

/**
 * A series thinned to what so many pixels can show: of every pixel column the first, least, greatest and last sample stay, so
 * that a spike of one sample is never lost. Samples that are NaN are skipped; a silence longer than `gapS` breaks the line
 * (a point with NaN). `timeS` ascends.
 */
export function decimate(
  timeS: ArrayLike<number>,
  values: ArrayLike<number>,
  span: { readonly fromS: number; readonly toS: number },
  pixels: number,
  gapS = usualGapS(timeS, values),
): DecimatedPoint[] {
  const points: DecimatedPoint[] = [];
  const perPixelS = (span.toS - span.fromS) / Math.max(1, pixels);
  let column = Number.NaN;
  let kept: number[] = [];
  let lastS = Number.NaN;
  const flush = (): void => {
    for (const index of [...new Set(kept)].sort((a, b) => a - b)) points.push({ timeS: timeS[index]!, value: values[index]! });
    kept = [];
  };
  for (let i = firstAtOrAfter(timeS, span.fromS); i < timeS.length && timeS[i]! <= span.toS; i++) {
    const value = values[i]!;
    if (!Number.isFinite(value)) continue;
    const at = timeS[i]!;
    if (at - lastS > gapS) {
      flush();
      column = Number.NaN;
      points.push({ timeS: at, value: Number.NaN });
    }
    lastS = at;
    const here = Math.floor((at - span.fromS) / perPixelS);
    if (here !== column) {
      flush();
      column = here;
      kept = [i, i, i, i];
      continue;
    }
    if (value < values[kept[1]!]!) kept[1] = i;
    if (value > values[kept[2]!]!) kept[2] = i;
    kept[3] = i;
  }
  flush();
  return points;
}

/** A silence that is no longer the channel's own slowness: five usual intervals, at least half a second. */
export function usualGapS(timeS: ArrayLike<number>, values: ArrayLike<number>): number {
  const intervals: number[] = [];
  let last = Number.NaN;
  for (let i = 0; i < timeS.length && intervals.length < 2000; i++) {
    if (!Number.isFinite(values[i]!)) continue;
    if (!Number.isNaN(last)) intervals.push(timeS[i]! - last);
    last = timeS[i]!;
  }
  const usual = median(intervals);
  return Number.isNaN(usual) ? Number.POSITIVE_INFINITY : Math.max(0.5, 5 * usual);
}

function firstAtOrAfter(timeS: ArrayLike<number>, atS: number): number {
  let low = 0;
  let high = timeS.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (timeS[middle]! < atS) low = middle + 1;
    else high = middle;
  }
  return low;
}
