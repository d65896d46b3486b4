import { bitsOfChoice, bitsOfLeftOver } from "./code-length.ts";
import { type Comparison, leftOver } from "./comparison.ts";
import type { Story } from "./story.ts";

/** Half kernels, centre first; the rest is mirrored. Weights need not sum to one. */
const KERNELS: readonly (readonly number[])[] = [
  [2, 1],
  [1, 1],
  [1, 1, 1],
  [6, 4, 1],
  [3, 2, 1],
  [1, 0.6065, 0.1353, 0.0111],
  [1, 0.8007, 0.4111, 0.1353, 0.0286],
  [4, 1],
  [1, 0.8825, 0.6065, 0.3247, 0.1353, 0.0439],
  [1, 1, 1, 1],
];
const EDGES = ["repeat", "share", "keep"] as const;
const DIRECTIONS = ["x", "y", "both", "around"] as const;
const PASSES = [1, 2, 3, 4] as const;
const LARGEST_LEFT_SHARE = 0.15;
type EdgeRule = (typeof EDGES)[number];

/** One pass along one direction. `repeat` holds the edge cell beyond the edge, `share` leaves out what lies beyond, `keep` leaves edge cells alone. */
function pass(
  cells: Float64Array,
  along: { readonly count: number; readonly stride: number; readonly lines: readonly number[] },
  kernel: readonly number[],
  edge: EdgeRule,
): Float64Array {
  const out = cells.slice();
  const reach = kernel.length - 1;
  for (const start of along.lines)
    for (let i = 0; i < along.count; i++) {
      if (edge === "keep" && (i < 1 || i >= along.count - 1)) continue;
      let sum = 0;
      let weight = 0;
      for (let k = -reach; k <= reach; k++) {
        const at = i + k;
        const isBeyond = at < 0 || at >= along.count;
        if (isBeyond && edge !== "repeat") continue;
        const held = Math.max(0, Math.min(along.count - 1, at));
        const w = kernel[Math.abs(k)]!;
        sum += w * cells[start + held * along.stride]!;
        weight += w;
      }
      out[start + i * along.stride] = sum / weight;
    }
  return out;
}

/** One pass over the four neighbours and the cell itself. */
function crossPass(cells: Float64Array, rows: number, columns: number, kernel: readonly number[], edge: EdgeRule): Float64Array {
  const alongX = pass(cells, lines(rows, columns, "x"), kernel, edge);
  const alongY = pass(cells, lines(rows, columns, "y"), kernel, edge);
  return cells.map((_, i) => (alongX[i]! + alongY[i]!) / 2);
}

function lines(rows: number, columns: number, direction: "x" | "y"): { count: number; stride: number; lines: number[] } {
  return direction === "x"
    ? { count: columns, stride: 1, lines: Array.from({ length: rows }, (_, r) => r * columns) }
    : { count: rows, stride: columns, lines: Array.from({ length: columns }, (_, c) => c) };
}

/**
 * Smoothing stories: the received table is the reference, seen through a filter that lets slow changes pass.
 *
 * A set of common filters is tried with one share each (how much of the filtered table was mixed in); the share is fitted by least
 * squares. What is left over is counted in rounding steps like for any other story, so that a filter that is not in the set still
 * wins when it explains most of the difference.
 */
export function smoothingStories(c: Comparison): Story[] {
  const n = c.received.length;
  if (n < 5 || c.changed.length < 2) return [];
  let best: Story | undefined;
  const directions = c.rows === 1 ? (["x"] as const) : c.columns === 1 ? (["y"] as const) : DIRECTIONS;
  const bitsOfFilter = bitsOfChoice(KERNELS.length * EDGES.length * PASSES.length * directions.length) + 4;
  for (const direction of directions)
    for (const kernel of KERNELS)
      for (const edge of EDGES) {
        if (kernel.length > Math.max(c.rows, c.columns)) continue;
        let filtered = c.reference;
        for (const _ of PASSES) {
          if (direction === "around") filtered = crossPass(filtered, c.rows, c.columns, kernel, edge);
          if (direction === "x" || direction === "both") filtered = pass(filtered, lines(c.rows, c.columns, "x"), kernel, edge);
          if (direction === "y" || direction === "both") filtered = pass(filtered, lines(c.rows, c.columns, "y"), kernel, edge);
          const story = mixed(c, filtered, bitsOfFilter, direction);
          if (story !== undefined && (best === undefined || story.bits < best.bits)) best = story;
        }
      }
  return best === undefined ? [] : [best];
}

/** The filtered table mixed in with the share that fits best; whole (share 1) costs nothing to say. */
function mixed(c: Comparison, filtered: Float64Array, bitsOfFilter: number, direction: string): Story | undefined {
  let cross = 0;
  let square = 0;
  for (let i = 0; i < filtered.length; i++) {
    const move = filtered[i]! - c.reference[i]!;
    cross += move * (c.received[i]! - c.reference[i]!);
    square += move * move;
  }
  if (square === 0) return undefined;
  const share = cross / square;
  if (share < 0.15) return undefined;
  // What a filter leaves open must be small against what was changed; a redrawn surface resembles no filter.
  const energy = c.changed.reduce((sum, i) => sum + Math.max(0, Math.abs(c.received[i]! - c.reference[i]!) - c.tolerance[i]!) ** 2, 0);
  let best: Story | undefined;
  for (const [used, bits] of [
    [1, 0],
    [Math.min(1, Math.round(share * 20) / 20), 5],
  ] as const) {
    const predicted = c.reference.map((r, i) => r + used * (filtered[i]! - r));
    const steps = leftOver(c, predicted);
    let unexplained = 0;
    let left = 0;
    for (const s of steps) {
      if (s !== 0) unexplained++;
      left += (s * c.step) ** 2;
    }
    if (left > LARGEST_LEFT_SHARE * energy) continue;
    const story: Story = { kind: "smoothed", bits: bitsOfFilter + bits + bitsOfLeftOver(steps), unexplained, detail: direction };
    if (best === undefined || story.bits < best.bits) best = story;
  }
  return best;
}
