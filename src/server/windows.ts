/**
 * Least and greatest value per pixel column of a span, from a pyramid of coarser and coarser pairs, so that any span of any
 * number of samples costs about as much as the pixels it fills. A spike of one sample is never lost.
 */
export interface Pyramid {
  readonly timeS: Float64Array;
  /** `levels[k]` holds least and greatest over blocks of `BLOCK · 2^k` samples, interleaved. */
  readonly levels: readonly Float32Array[];
  readonly values: Float64Array;
}

const BLOCK = 16;

export function pyramidOf(timeS: Float64Array, values: Float64Array): Pyramid {
  const levels: Float32Array[] = [];
  let blocks = Math.ceil(values.length / BLOCK);
  let level = new Float32Array(2 * blocks);
  for (let b = 0; b < blocks; b++) {
    const [least, greatest] = extremes(values, b * BLOCK, Math.min(values.length, (b + 1) * BLOCK));
    level[2 * b] = least;
    level[2 * b + 1] = greatest;
  }
  levels.push(level);
  while (blocks > 64) {
    const half = Math.ceil(blocks / 2);
    const coarser = new Float32Array(2 * half);
    for (let b = 0; b < half; b++) {
      const right = Math.min(2 * b + 1, blocks - 1);
      coarser[2 * b] = lesser(level[4 * b]!, level[2 * right]!);
      coarser[2 * b + 1] = greater(level[4 * b + 1]!, level[2 * right + 1]!);
    }
    levels.push(coarser);
    level = coarser;
    blocks = half;
  }
  return { timeS, values, levels };
}

/** Shape (2 · width): least values of the pixel columns, then greatest; NaN where a column holds no sample. */
export function windowOf(pyramid: Pyramid, fromS: number, toS: number, width: number): Float32Array {
  const result = new Float32Array(2 * width).fill(Number.NaN);
  const perPixelS = (toS - fromS) / width;
  let from = firstAtLeast(pyramid.timeS, fromS);
  for (let pixel = 0; pixel < width; pixel++) {
    const to = firstAtLeast(pyramid.timeS, fromS + (pixel + 1) * perPixelS, from);
    if (to > from) {
      const [least, greatest] = rangeOf(pyramid, from, to);
      result[pixel] = least;
      result[width + pixel] = greatest;
    }
    from = to;
  }
  return result;
}

function rangeOf(pyramid: Pyramid, from: number, to: number): [number, number] {
  // The coarsest level whose blocks fit into the range at least twice; its ragged ends come from the samples themselves.
  let level = -1;
  while (level + 1 < pyramid.levels.length && to - from >= 2 * BLOCK * 2 ** (level + 1)) level++;
  if (level < 0) return extremes(pyramid.values, from, to);
  const size = BLOCK * 2 ** level;
  const first = Math.ceil(from / size);
  const last = Math.floor(to / size);
  const ends = [rangeBetween(pyramid, from, first * size), rangeBetween(pyramid, last * size, to)];
  let least = lesser(ends[0]![0], ends[1]![0]);
  let greatest = greater(ends[0]![1], ends[1]![1]);
  const pairs = pyramid.levels[level]!;
  for (let b = first; b < last; b++) {
    least = lesser(least, pairs[2 * b]!);
    greatest = greater(greatest, pairs[2 * b + 1]!);
  }
  return [least, greatest];
}

function rangeBetween(pyramid: Pyramid, from: number, to: number): [number, number] {
  return to <= from ? [Number.NaN, Number.NaN] : rangeOf(pyramid, from, to);
}

function extremes(values: Float64Array, from: number, to: number): [number, number] {
  let least = Number.NaN;
  let greatest = Number.NaN;
  for (let i = from; i < to; i++) {
    least = lesser(least, values[i]!);
    greatest = greater(greatest, values[i]!);
  }
  return [least, greatest];
}

function lesser(a: number, b: number): number {
  return Number.isNaN(a) || b < a ? b : a;
}

function greater(a: number, b: number): number {
  return Number.isNaN(a) || b > a ? b : a;
}

/** First row at or after an instant. */
export function firstAtLeast(timeS: Float64Array, at: number, from = 0): number {
  let low = from;
  let high = timeS.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (timeS[middle]! < at) low = middle + 1;
    else high = middle;
  }
  return low;
}
