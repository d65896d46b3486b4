/** A Float64Array of the given numbers. */
export function f64(...values: readonly number[]): Float64Array {
  return Float64Array.from(values);
}

/** @throws RangeError when the named arrays differ in length: the caller's mistake, never the data's. */
export function requireSameLength(arrays: Readonly<Record<string, ArrayLike<number>>>): void {
  const entries = Object.entries(arrays);
  const length = entries[0]?.[1].length;
  for (const [name, array] of entries) if (array.length !== length) throw new RangeError(`${name} has ${array.length} values, ${entries[0]![0]} has ${length}`);
}

/** Quantile by linear interpolation between order statistics, NaN left out; NaN when nothing is left. */
export function quantile(values: ArrayLike<number>, fraction: number): number {
  const known = new Float64Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (!Number.isNaN(value)) known[count++] = value;
  }
  if (count === 0) return Number.NaN;
  const sorted = known.subarray(0, count).sort();
  const position = fraction * (sorted.length - 1);
  const below = Math.floor(position);
  const above = Math.min(below + 1, sorted.length - 1);
  return sorted[below]! + (position - below) * (sorted[above]! - sorted[below]!);
}

/** Median, NaN left out. */
export function median(values: ArrayLike<number>): number {
  return quantile(values, 0.5);
}

/** Mean, NaN left out; NaN when nothing is left. */
export function mean(values: ArrayLike<number>): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    sum += value;
    count++;
  }
  return count === 0 ? Number.NaN : sum / count;
}

/** Limit to [low, high]; NaN stays NaN. */
export function clamp(value: number, low: number, high: number): number {
  return value < low ? low : value > high ? high : value;
}

/** Index of the last ascending `edges` value that is at most `value`, -1 below the first. */
export function lastAtMost(edges: ArrayLike<number>, value: number): number {
  let low = 0;
  let high = edges.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (edges[middle]! <= value) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}
