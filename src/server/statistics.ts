import type { StatisticsView } from "../api/index.ts";

/** Mean, deviation, extremes and slope of a series over a span, and its last value at or before an instant. NaN is no sample. */
export function statisticsOf(
  id: string,
  series: { readonly timeS: Float64Array; readonly values: Float64Array } | undefined,
  ask: { readonly fromS: number; readonly toS: number; readonly atS: number | undefined },
): StatisticsView {
  let [n, sum, squares, sumT, sumTT, sumTV] = [0, 0, 0, 0, 0, 0];
  let [least, greatest, at] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NaN];
  for (let i = 0; i < (series?.timeS.length ?? 0); i++) {
    const timeS = series!.timeS[i]!;
    const value = series!.values[i]!;
    if (Number.isNaN(value)) continue;
    if (ask.atS !== undefined && timeS <= ask.atS) at = value;
    if (timeS < ask.fromS || timeS > ask.toS) continue;
    const t = timeS - ask.fromS;
    n++;
    sum += value;
    squares += value * value;
    sumT += t;
    sumTT += t * t;
    sumTV += t * value;
    least = Math.min(least, value);
    greatest = Math.max(greatest, value);
  }
  const known = (value: number): number | null => (n > 0 && Number.isFinite(value) ? value : null);
  const spread = sumTT - (sumT * sumT) / Math.max(n, 1);
  return {
    id,
    mean: known(sum / n),
    sd: known(Math.sqrt(Math.max(0, squares / n - (sum / n) ** 2))),
    least: known(least),
    greatest: known(greatest),
    slopePerS: spread > 0 ? known((sumTV - (sumT * sum) / n) / spread) : null,
    at: Number.isNaN(at) ? null : at,
  };
}
