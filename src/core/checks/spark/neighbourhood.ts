import { median } from "../../../base/index.ts";

/** A rectangle of cells that stands off its surroundings by a step along its whole border. */
export interface Island {
  readonly top: number;
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
  /** Median height of the step over what the neighbours' slope leads one to expect [unit of the field]. */
  readonly heightDeg: number;
  readonly cells: readonly number[];
}

export interface IslandSearch {
  readonly rows: number;
  readonly columns: number;
  /** Smallest step worth naming [unit of the field]. */
  readonly leastDeg: number;
  /** How many of the four sides must lie inside the table: a step along three sides is no slope. */
  readonly sidesInside: number;
}

/** Share of the table that an island may take: beyond half it is the surroundings that are the island. */
const LARGEST_SHARE = 0.5;
/** The border's steps must agree: this share of them at least half as high as the median, all with its sign. */
const AGREEING_SHARE = 0.9;

/**
 * The island that stands out most from a field of cells, or undefined.
 *
 * Along each pair of cells across the border the step is what remains of the difference after the slopes on either side are taken off:
 * a steep row is steep on both sides and leaves nothing, a pasted block leaves its height everywhere along its edge.
 */
export function findIsland(field: Float64Array, search: IslandSearch): Island | undefined {
  const { rows, columns } = search;
  let best: (Island & { readonly score: number }) | undefined;
  for (let top = 0; top < rows; top++)
    for (let bottom = top; bottom < rows; bottom++)
      for (let left = 0; left < columns; left++)
        for (let right = left; right < columns; right++) {
          const area = (bottom - top + 1) * (right - left + 1);
          if (area > LARGEST_SHARE * rows * columns) break;
          const inside = (top > 0 ? 1 : 0) + (bottom < rows - 1 ? 1 : 0) + (left > 0 ? 1 : 0) + (right < columns - 1 ? 1 : 0);
          if (inside < search.sidesInside) continue;
          const steps = borderSteps(field, search, { top, left, bottom, right });
          if (steps === undefined) continue;
          const height = median(steps);
          const score = Math.abs(height) * Math.sqrt(steps.length);
          if (best !== undefined && score <= best.score) continue;
          best = { top, left, bottom, right, heightDeg: height, score, cells: cellsWithin(top, left, bottom, right, columns) };
        }
  return best;
}

function cellsWithin(top: number, left: number, bottom: number, right: number, columns: number): number[] {
  const cells: number[] = [];
  for (let row = top; row <= bottom; row++) for (let column = left; column <= right; column++) cells.push(row * columns + column);
  return cells;
}

interface Box {
  readonly top: number;
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
}

/** Median step of a field along the border of an island found in another field. */
export function stepAlongBorder(field: Float64Array, island: Island, size: { readonly rows: number; readonly columns: number }): number {
  return median(borderSteps(field, { ...size, leastDeg: 0, sidesInside: 0 }, island) ?? []);
}

/** Steps along the border; undefined as soon as they cannot make an island. */
function borderSteps(field: Float64Array, search: IslandSearch, box: Box): number[] | undefined {
  const { rows, columns, leastDeg } = search;
  const steps: number[] = [];
  let weak = 0;
  const border = 2 * (box.bottom - box.top + box.right - box.left + 2);
  const add = (at: (k: number) => number | undefined, width: number): boolean => {
    const [in0, out0, out1] = [at(0)!, at(-1)!, at(-2)];
    const slopeOut = out1 === undefined ? undefined : out0 - out1;
    const slopeIn = width > 1 ? at(1)! - in0 : undefined;
    const slopes = [slopeOut, slopeIn].filter((s) => s !== undefined);
    const expected = slopes.length === 0 ? 0 : slopes.reduce((a, b) => a + b, 0) / slopes.length;
    const step = in0 - out0 - expected;
    steps.push(step);
    if (leastDeg > 0 && (Math.abs(step) < leastDeg * 0.5 || Math.sign(step) !== Math.sign(steps[0]!))) weak++;
    return weak <= (1 - AGREEING_SHARE) * border;
  };
  const cell = (row: number, column: number): number | undefined =>
    row < 0 || column < 0 || row >= rows || column >= columns ? undefined : field[row * columns + column];
  const [height, width] = [box.bottom - box.top + 1, box.right - box.left + 1];
  for (let row = box.top; row <= box.bottom; row++) {
    if (box.left > 0 && !add((k) => cell(row, box.left + k), width)) return undefined;
    if (box.right < columns - 1 && !add((k) => cell(row, box.right - k), width)) return undefined;
  }
  for (let column = box.left; column <= box.right; column++) {
    if (box.top > 0 && !add((k) => cell(box.top + k, column), height)) return undefined;
    if (box.bottom < rows - 1 && !add((k) => cell(box.bottom - k, column), height)) return undefined;
  }
  if (leastDeg === 0) return steps;
  const middle = median(steps);
  if (Math.abs(middle) < leastDeg) return undefined;
  const agreeing = steps.filter((s) => s * Math.sign(middle) >= 0.5 * Math.abs(middle) && s * Math.sign(middle) <= 2 * Math.abs(middle)).length;
  return agreeing >= AGREEING_SHARE * steps.length ? steps : undefined;
}
