import type { Table } from "../tables/index.ts";

/** A curve made ready for many look-ups, ends held. */
export type FastCurve = (x: number) => number;
/** A table made ready for many look-ups, bilinear, edges held. */
export type FastGrid = (x: number, y: number) => number;

export function fastCurve(table: Table | undefined, otherwise: number): FastCurve {
  if (table === undefined) return () => otherwise;
  if (table.x === undefined) {
    const value = table.cells[0]!;
    return () => value;
  }
  return curveFrom(table.x.values, table.cells);
}

export function curveFrom(xs: ArrayLike<number>, ys: ArrayLike<number>): FastCurve {
  const last = xs.length - 1;
  if (last === 0) {
    const value = ys[0]!;
    return () => value;
  }
  let at = 0;
  return (x) => {
    if (x <= xs[0]!) return ys[0]!;
    if (x >= xs[last]!) return ys[last]!;
    while (xs[at]! > x) at--;
    while (xs[at + 1]! <= x) at++;
    return ys[at]! + ((x - xs[at]!) / (xs[at + 1]! - xs[at]!)) * (ys[at + 1]! - ys[at]!);
  };
}

export function fastGrid(table: Table | undefined, otherwise: number): FastGrid {
  if (table === undefined || table.x === undefined) return () => otherwise;
  if (table.y === undefined) return curveFrom(table.x.values, table.cells);
  const xs = table.x.values;
  const ys = table.y.values;
  const columns = xs.length;
  const lastX = columns - 1;
  const lastY = ys.length - 1;
  const { cells } = table;
  let i = 0;
  let j = 0;
  return (x, y) => {
    const cx = Math.max(xs[0]!, Math.min(x, xs[lastX]!));
    const cy = Math.max(ys[0]!, Math.min(y, ys[lastY]!));
    while (i > 0 && xs[i]! > cx) i--;
    while (i < lastX - 1 && xs[i + 1]! <= cx) i++;
    while (j > 0 && ys[j]! > cy) j--;
    while (j < lastY - 1 && ys[j + 1]! <= cy) j++;
    const fx = lastX === 0 ? 0 : (cx - xs[i]!) / (xs[i + 1]! - xs[i]!);
    const fy = lastY === 0 ? 0 : (cy - ys[j]!) / (ys[j + 1]! - ys[j]!);
    const at = j * columns + i;
    const right = lastX === 0 ? 0 : 1;
    const below = lastY === 0 ? 0 : columns;
    const top = cells[at]! + fx * (cells[at + right]! - cells[at]!);
    const bottom = cells[at + below]! + fx * (cells[at + below + right]! - cells[at + below]!);
    return top + fy * (bottom - top);
  };
}
