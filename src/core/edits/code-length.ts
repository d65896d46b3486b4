/**
 * How many bits it takes to say something. Stories about an edit are compared by the length of the shortest message that
 * lets another person rebuild the received table from the reference: what was done, with which numbers, and what is left over.
 *
 * @source rissanen-1978 (from memory)
 */

/** A whole number from zero: about two bits for nothing, growing with its logarithm (Elias' omega in smooth form). */
export function bitsOfCount(n: number): number {
  return 1 + 2 * Math.log2(1 + n);
}

/** Which of so many. */
export function bitsOfChoice(among: number): number {
  return Math.log2(Math.max(1, among));
}

/** Which `chosen` of `n` places: log2 of the binomial coefficient, with the number chosen itself. */
export function bitsOfPlaces(n: number, chosen: number): number {
  return Math.log2(n + 1) + logChoose(n, chosen);
}

function logChoose(n: number, k: number): number {
  let bits = 0;
  for (let i = 1; i <= Math.min(k, n - k); i++) bits += Math.log2((n - Math.min(k, n - k) + i) / i);
  return bits;
}

/**
 * What is left over, in rounding steps: nothing for most cells, then places and sizes. Sizes follow a geometric law whose mean
 * is said once; each carries a sign.
 */
export function bitsOfLeftOver(steps: ArrayLike<number>): number {
  let count = 0;
  let sum = 0;
  for (let i = 0; i < steps.length; i++) {
    const size = Math.abs(steps[i]!);
    if (size === 0) continue;
    count++;
    sum += size;
  }
  if (count === 0) return 1;
  const mean = sum / count;
  const perSize = mean <= 1 ? 0.5 : Math.log2(mean) + (mean - 1) * Math.log2(mean / (mean - 1));
  return bitsOfPlaces(steps.length, count) + bitsOfCount(mean) + count * (1 + perSize);
}

/** A rectangle within a grid: two edges out of each direction. */
export function bitsOfRectangle(rows: number, columns: number): number {
  return bitsOfChoice((rows * (rows + 1)) / 2) + bitsOfChoice((columns * (columns + 1)) / 2);
}

/** The number a person would most likely have typed within [low, high], and how many bits it is worth. */
export interface PlainNumber {
  readonly value: number;
  readonly bits: number;
}

/**
 * Plainest number in an interval, counted from `from` (0 for an addend, 1 for a factor): fewest digits first, then nearest the middle.
 * People type 1.12 or −4.5; a number that needs four digits is a sign that the story is another. `step` lets a multiple of the
 * table's own step count as plain too.
 */
export function plainestWithin(low: number, high: number, from: number, step = 0): PlainNumber | undefined {
  if (!(low <= high)) return undefined;
  const middle = (low + high) / 2;
  const scale = Math.max(Math.abs(middle - from), 1e-9);
  const candidates: PlainNumber[] = [];
  for (let decimals = -Math.ceil(Math.log10(scale)) - 1; decimals < 12; decimals++) {
    const unit = 10 ** -decimals;
    const count = Math.round((middle - from) / unit);
    const value = from + count * unit;
    if (count === 0 || value < low - 1e-12 || value > high + 1e-12) continue;
    const tidy = Number(value.toPrecision(12));
    const digitsBehind = from === 1 ? Math.max(0, decimals - 2) : Math.max(0, decimals - 1);
    candidates.push({ value: tidy, bits: 3 + Math.log2(1 + Math.abs(count)) + 3 * digitsBehind });
    break;
  }
  if (step > 0) {
    const count = Math.round((middle - from) / step);
    const value = from + count * step;
    if (count !== 0 && value >= low - 1e-9 * step && value <= high + 1e-9 * step) candidates.push({ value, bits: 3 + Math.log2(1 + Math.abs(count)) });
  }
  if (candidates.length === 0) candidates.push({ value: middle, bits: 24 });
  return candidates.reduce((best, c) => (c.bits < best.bits ? c : best));
}
