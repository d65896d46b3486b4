import { median } from "../../base/index.ts";

/** Ratio of standard deviation to median absolute deviation of a normal law, 1 / Φ⁻¹(0.75). */
const SD_PER_MAD = 1.4826022185056018;

/** Standard deviation as the middle half of the values tells it: median absolute deviation × 1.4826. NaN left out. */
export function robustSd(values: ArrayLike<number>, centre = median(values)): number {
  const distances = new Float64Array(values.length);
  for (let i = 0; i < distances.length; i++) distances[i] = Math.abs(values[i]! - centre);
  return SD_PER_MAD * median(distances);
}

/** Weight of a standardised residual by Huber's rule: 1 up to k, then k / |z|. */
export function huberWeight(z: number, k = 1.345): number {
  const size = Math.abs(z);
  return size <= k ? 1 : k / size;
}

/** Weight of a standardised residual by Tukey's biweight: (1 − (z/c)²)², 0 beyond c. */
export function tukeyWeight(z: number, c = 4.685): number {
  const share = z / c;
  const left = 1 - share * share;
  return left > 0 ? left * left : 0;
}

/** Median of values that count differently: the least value with at least half the weight at or below it. NaN left out. */
export function weightedMedian(values: ArrayLike<number>, weights: ArrayLike<number>): number {
  return weightedQuantile(values, weights, 0.5);
}

/** Quantile of values that count differently. Rows with NaN or no weight are left out; NaN when none is left. */
export function weightedQuantile(values: ArrayLike<number>, weights: ArrayLike<number>, fraction: number): number {
  const rows: number[] = [];
  let total = 0;
  for (let i = 0; i < values.length; i++) {
    if (Number.isNaN(values[i]!) || !(weights[i]! > 0)) continue;
    rows.push(i);
    total += weights[i]!;
  }
  rows.sort((a, b) => values[a]! - values[b]!);
  let sum = 0;
  for (const i of rows) {
    sum += weights[i]!;
    if (sum >= fraction * total) return values[i]!;
  }
  return rows.length === 0 ? Number.NaN : values[rows[rows.length - 1]!]!;
}
