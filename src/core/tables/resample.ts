import { lookUp } from "./look-up.ts";
import { type Axis, columnsOf, rowsOf, type Table } from "./table.ts";

/** Share of the local breakpoint spacing by which two breakpoints may differ and still be the same one (unit conversion, printed digits). */
const SAME_BREAKPOINT_SHARE = 0.015;

/** True when two axes have the same breakpoints, but for what conversion and printed digits leave open. */
export function sameAxis(a: Axis | undefined, b: Axis | undefined): boolean {
  if (a === undefined || b === undefined) return a === b;
  const n = a.values.length;
  if (n !== b.values.length) return false;
  for (let i = 0; i < n; i++) {
    const before = i > 0 ? a.values[i]! - a.values[i - 1]! : Number.POSITIVE_INFINITY;
    const after = i < n - 1 ? a.values[i + 1]! - a.values[i]! : Number.POSITIVE_INFINITY;
    const spacing = n === 1 ? Math.abs(a.values[0]!) : Math.min(before, after);
    if (Math.abs(a.values[i]! - b.values[i]!) > SAME_BREAKPOINT_SHARE * spacing + 1e-9) return false;
  }
  return true;
}

/** True when two tables have the same axes, so that their cells can be compared one by one. */
export function sameAxes(a: Table, b: Table): boolean {
  return sameAxis(a.x, b.x) && sameAxis(a.y, b.y);
}

/** Cells of `source` looked up at the breakpoints of `like`; beyond the source's own range its edge is held. */
export function resampleLike(source: Table, like: Table): Float64Array {
  const columns = columnsOf(like);
  const rows = rowsOf(like);
  const cells = new Float64Array(columns * rows);
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) cells[row * columns + column] = lookUp(source, like.x?.values[column] ?? 0, like.y?.values[row] ?? 0);
  return cells;
}
