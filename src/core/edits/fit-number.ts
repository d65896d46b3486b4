import type { Comparison } from "./comparison.ts";

/** Interval of one unknown number that the largest number of cells agrees on. */
export interface Agreement {
  readonly low: number;
  readonly high: number;
  readonly count: number;
}

interface Edge {
  readonly at: number;
  readonly opens: boolean;
}

/** Interval that the most of the given intervals share (a sweep over their ends); undefined when there is none. */
export function mostAgreed(intervals: readonly (readonly [number, number])[]): Agreement | undefined {
  const edges: Edge[] = [];
  for (const [low, high] of intervals) {
    if (!(low <= high)) continue;
    edges.push({ at: low, opens: true }, { at: high, opens: false });
  }
  edges.sort((a, b) => a.at - b.at || (a.opens === b.opens ? 0 : a.opens ? -1 : 1));
  let open = 0;
  let best: Agreement | undefined;
  for (let i = 0; i < edges.length - 1; i++) {
    open += edges[i]!.opens ? 1 : -1;
    if (edges[i]!.opens && (best === undefined || open > best.count)) best = { low: edges[i]!.at, high: edges[i + 1]!.at, count: open };
  }
  return best;
}

/** Cells at the table's own ceiling or floor may have been cut: the number is then known from one side only. */
export interface Limits {
  readonly ceiling?: number;
  readonly floor?: number;
}

/** Factor intervals of cells: received = reference · k, within tolerance. Cells that were zero say nothing of k. */
export function factorIntervals(c: Comparison, cells: readonly number[], limits: Limits = {}): (readonly [number, number])[] {
  const intervals: (readonly [number, number])[] = [];
  for (const i of cells) {
    const base = c.reference[i]!;
    if (base === 0) continue;
    const [low, high] = openEnds(c, i, limits);
    intervals.push(base > 0 ? [low / base, high / base] : [high / base, low / base]);
  }
  return intervals;
}

/** Addend intervals of cells: received = reference + d, within tolerance. */
export function addendIntervals(c: Comparison, cells: readonly number[], limits: Limits = {}): (readonly [number, number])[] {
  return cells.map((i) => {
    const [low, high] = openEnds(c, i, limits);
    return [low - c.reference[i]!, high - c.reference[i]!] as const;
  });
}

function openEnds(c: Comparison, i: number, limits: Limits): [number, number] {
  const value = c.received[i]!;
  const slack = c.tolerance[i]!;
  const atCeiling = limits.ceiling !== undefined && value >= limits.ceiling - c.printed[i]!;
  const atFloor = limits.floor !== undefined && value <= limits.floor + c.printed[i]!;
  return [atFloor ? -1e12 : value - slack, atCeiling ? 1e12 : value + slack];
}

/**
 * Bits by which it would surprise that a factor moved all these cells by one and the same amount. Factors from half to one and a half
 * times the change are tried; where most of them move all cells alike (cells nearly equal, or a coarse step) it is no surprise.
 */
export function surpriseOfEqualMoves(c: Comparison, cells: readonly number[], factor: number): number {
  const movesAlike = (k: number): boolean => {
    const first = Math.round((c.reference[cells[0]!]! * (k - 1)) / c.step);
    return cells.every((i) => Math.round((c.reference[i]! * (k - 1)) / c.step) === first);
  };
  if (!movesEqually(c, cells)) return 0;
  let alike = 0;
  for (let i = 0; i <= 40; i++) if (movesAlike(1 + (factor - 1) * (0.5 + i / 40))) alike++;
  return Math.log2(41 / Math.max(1, alike));
}

/** Bits by which it would surprise that a plain factor (two decimals) fits although an amount was added. */
export function surpriseOfPlainFactor(agreed: Agreement | undefined, cellCount: number): number {
  if (agreed === undefined || agreed.count < cellCount) return 0;
  const plain = Math.round(((agreed.low + agreed.high) / 2) * 100) / 100;
  if (plain < agreed.low || plain > agreed.high) return 0;
  return Math.log2(1 / Math.min(1, Math.max(0.01, (agreed.high - agreed.low) * 100)));
}

function movesEqually(c: Comparison, cells: readonly number[]): boolean {
  const first = c.received[cells[0]!]! - c.reference[cells[0]!]!;
  return cells.every((i) => Math.abs(c.received[i]! - c.reference[i]! - first) <= 2 * c.printed[i]!);
}
