import { clamp, lastAtMost } from "../../base/index.ts";
import { columnsOf, type Table } from "./table.ts";

/** Position on an axis: index of the breakpoint below and the share of the one above, ends held. */
export function axisPosition(values: Float64Array, at: number): { index: number; share: number } {
  const last = values.length - 1;
  if (last === 0) return { index: 0, share: 0 };
  const index = clamp(lastAtMost(values, at), 0, last - 1);
  const low = values[index]!;
  const high = values[index + 1]!;
  return { index, share: clamp((at - low) / (high - low), 0, 1) };
}

/** Value of a curve at x by linear interpolation, ends held; NaN where x is NaN. */
export function lookUpCurve(table: Table, x: number): number {
  if (Number.isNaN(x)) return Number.NaN;
  if (table.x === undefined) return table.cells[0]!;
  const { index, share } = axisPosition(table.x.values, x);
  const low = table.cells[index]!;
  return share === 0 ? low : low + share * (table.cells[index + 1]! - low);
}

/** Value of a table at (x, y) by bilinear interpolation, edges held; a curve ignores y; NaN where x or y is NaN. */
export function lookUp(table: Table, x: number, y: number): number {
  if (table.y === undefined || table.x === undefined) return lookUpCurve(table, x);
  if (Number.isNaN(x) || Number.isNaN(y)) return Number.NaN;
  const columns = columnsOf(table);
  const atX = axisPosition(table.x.values, x);
  const atY = axisPosition(table.y.values, y);
  const right = columns > 1 ? 1 : 0;
  const below = table.y.values.length > 1 ? columns : 0;
  const corner = atY.index * columns + atX.index;
  const { cells } = table;
  const top = cells[corner]! * (1 - atX.share) + cells[corner + right]! * atX.share;
  const bottom = cells[corner + below]! * (1 - atX.share) + cells[corner + below + right]! * atX.share;
  return top * (1 - atY.share) + bottom * atY.share;
}

/** The up to four cells that a bilinear look-up at (x, y) touches, with their weights (they sum to 1). */
export function lookUpWeights(table: Table, x: number, y: number): { cells: [number, number, number, number]; weights: [number, number, number, number] } {
  const columns = columnsOf(table);
  const atX = table.x === undefined ? { index: 0, share: 0 } : axisPosition(table.x.values, x);
  const atY = table.y === undefined ? { index: 0, share: 0 } : axisPosition(table.y.values, y);
  const right = columns > 1 ? 1 : 0;
  const below = (table.y?.values.length ?? 1) > 1 ? columns : 0;
  const corner = atY.index * columns + atX.index;
  return {
    cells: [corner, corner + right, corner + below, corner + below + right],
    weights: [(1 - atX.share) * (1 - atY.share), atX.share * (1 - atY.share), (1 - atX.share) * atY.share, atX.share * atY.share],
  };
}
