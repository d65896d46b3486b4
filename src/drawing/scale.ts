import { textWidthPx } from "./text-width.ts";

/** A straight scale from data to pixels. */
export interface Scale {
  readonly low: number;
  readonly high: number;
  readonly fromPx: number;
  readonly toPx: number;
  (value: number): number;
}

export function linearScale(low: number, high: number, fromPx: number, toPx: number): Scale {
  const span = high === low ? 1 : high - low;
  const at = (value: number): number => fromPx + ((value - low) / span) * (toPx - fromPx);
  return Object.assign(at, { low, high, fromPx, toPx });
}

export interface Ticks {
  readonly values: readonly number[];
  readonly decimals: number;
  readonly step: number;
}

/** Round tick values within [low, high], at most about `most`, with the decimals they need. */
export function niceTicks(low: number, high: number, most: number): Ticks {
  const span = high - low;
  if (!(span > 0) || most < 1) return { values: Number.isFinite(low) ? [low] : [], decimals: 0, step: 0 };
  const rough = span / Math.max(1, most);
  const power = Math.floor(Math.log10(rough));
  const unit = 10 ** power;
  const factor = [1, 2, 5, 10].find((f) => f * unit >= rough * (1 - 1e-9)) ?? 10;
  const step = factor * unit;
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  const values: number[] = [];
  for (let i = first; i <= last; i++) values.push(i === 0 ? 0 : Number((i * step).toPrecision(12)));
  return { values, decimals: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)), step };
}

/** Widened so that both ends fall on ticks. */
export function niceRange(low: number, high: number, most: number): [number, number] {
  if (!(high > low)) {
    const pad = Math.abs(low) > 0 ? Math.abs(low) * 0.1 : 1;
    return [low - pad, high + pad];
  }
  const { step } = niceTicks(low, high, most);
  return [Math.floor(low / step + 1e-9) * step, Math.ceil(high / step - 1e-9) * step];
}

/** Least and greatest of all finite values given; undefined when there is none. */
export function extent(...columns: readonly (ArrayLike<number> | undefined)[]): [number, number] | undefined {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const column of columns) {
    if (column === undefined) continue;
    for (let i = 0; i < column.length; i++) {
      const value = column[i]!;
      if (!Number.isFinite(value)) continue;
      if (value < low) low = value;
      if (value > high) high = value;
    }
  }
  return low <= high ? [low, high] : undefined;
}

/** Edges of cells around ascending breakpoints: half-way between neighbours, the outer cells as wide as they are inward. */
export function cellEdges(breakpoints: ArrayLike<number>): number[] {
  const n = breakpoints.length;
  if (n === 0) return [];
  if (n === 1) return [breakpoints[0]! - 0.5, breakpoints[0]! + 0.5];
  const edges: number[] = [];
  for (let i = 1; i < n; i++) edges.push((breakpoints[i - 1]! + breakpoints[i]!) / 2);
  edges.unshift(breakpoints[0]! - (edges[0]! - breakpoints[0]!));
  edges.push(breakpoints[n - 1]! + (breakpoints[n - 1]! - edges[n - 1]!));
  return edges;
}

/**
 * Which labels can stand in a row without touching: the first and the last where there is room, between them as many as fit,
 * first come first kept. Positions ascend or descend.
 */
export function labelsThatFit(positionsPx: readonly number[], labels: readonly string[], sizePx: number, gapPx = 8): boolean[] {
  const halves = labels.map((label) => textWidthPx(label, sizePx) / 2);
  return thin(positionsPx, halves, gapPx);
}

/** The same for labels stacked over one another. */
export function rowsThatFit(positionsPx: readonly number[], sizePx: number): boolean[] {
  return thin(
    positionsPx,
    positionsPx.map(() => sizePx * 0.55),
    2,
  );
}

function thin(positions: readonly number[], halves: readonly number[], gapPx: number): boolean[] {
  const keep = positions.map(() => false);
  const n = positions.length;
  if (n === 0) return keep;
  const apart = (i: number, j: number): boolean => Math.abs(positions[i]! - positions[j]!) >= halves[i]! + halves[j]! + gapPx;
  keep[0] = true;
  if (n === 1) return keep;
  const endFits = apart(0, n - 1);
  if (endFits) keep[n - 1] = true;
  let last = 0;
  for (let i = 1; i < n - 1; i++) {
    if (!apart(last, i) || (endFits && !apart(i, n - 1))) continue;
    keep[i] = true;
    last = i;
  }
  return keep;
}
