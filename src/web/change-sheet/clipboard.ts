import type { Grid, Selection } from "./operations.ts";

export interface GridAxes {
  readonly x: readonly number[];
  /** One row of a curve has no place on an axis. */
  readonly y: readonly number[] | undefined;
}

/** Cells after a paste, and a word on where they went; or why it could not be done. */
export type Pasted = { readonly cells: Float64Array; readonly says: string } | { readonly problem: string };

const SAME_BREAKPOINT = 1e-3;

/** The selection as tab-separated text with its axes: the first line holds x, the first column y. */
export function toTabbed(grid: Grid, s: Selection, axes: GridAxes): string {
  const columns = indices(s.c0, s.c1);
  const head = ["", ...columns.map((c) => plain(axes.x[c] ?? 0))].join("\t");
  const lines = indices(s.r0, s.r1).map((r) => {
    const label = axes.y === undefined ? "" : plain(axes.y[r] ?? 0);
    return [label, ...columns.map((c) => plain(grid.cells[r * grid.columns + c]!))].join("\t");
  });
  return [head, ...lines].join("\n");
}

/**
 * Cells from tab-separated text. With axes they go where their axes say; axes with other breakpoints are read off between theirs, and
 * cells beyond them stay. Without axes they are laid down from the selection's first cell; one value fills the selection.
 */
export function fromTabbed(text: string, grid: Grid, s: Selection, axes: GridAxes): Pasted {
  const lines = text
    .replace(/\r/g, "")
    .split("\n")
    .filter((line) => line.trim() !== "")
    .map((line) => line.split("\t"));
  if (lines.length === 0) return { problem: "The clipboard holds no cells." };
  const corner = lines[0]![0]!;
  const hasAxes = lines.length > 1 && lines[0]!.length > 1 && Number.isNaN(read(corner));
  const body = hasAxes ? lines.slice(1).map((line) => line.slice(1)) : lines;
  const values: number[][] = [];
  for (const [i, line] of body.entries()) {
    const row = line.map(read);
    const bad = row.findIndex(Number.isNaN);
    if (bad >= 0) return { problem: `"${line[bad]!.trim()}" in line ${i + 1 + (hasAxes ? 1 : 0)} of the clipboard is no number.` };
    if (row.length !== body[0]!.length) return { problem: "The lines on the clipboard are not equally long." };
    values.push(row);
  }
  if (!hasAxes) return laidDown(values, grid, s);
  const given = { x: lines[0]!.slice(1).map(read), y: axes.y === undefined ? undefined : lines.slice(1).map((line) => read(line[0]!)) };
  if (given.x.some(Number.isNaN) || given.y?.some(Number.isNaN)) return { problem: "The axes on the clipboard hold something that is no number." };
  if (given.x.length !== values[0]!.length) return { problem: "The clipboard has more or fewer cells in a line than breakpoints." };
  if (axes.y === undefined && values.length > 1) return { problem: "This table has one row, the clipboard has several." };
  return byAxes(values, given, grid, axes);
}

function laidDown(values: readonly number[][], grid: Grid, s: Selection): Pasted {
  const rows = grid.cells.length / grid.columns;
  const cells = Float64Array.from(grid.cells);
  if (values.length === 1 && values[0]!.length === 1) {
    for (const r of indices(s.r0, s.r1)) for (const c of indices(s.c0, s.c1)) cells[r * grid.columns + c] = values[0]![0]!;
    return { cells, says: "The value fills the selection." };
  }
  if (s.r0 + values.length > rows || s.c0 + values[0]!.length > grid.columns)
    return { problem: "The cells on the clipboard reach beyond the table from here." };
  for (const [i, row] of values.entries()) for (const [k, value] of row.entries()) cells[(s.r0 + i) * grid.columns + s.c0 + k] = value;
  return { cells, says: "The clipboard has no axes: its first line went to the lowest row of the selection." };
}

function byAxes(values: readonly number[][], given: GridAxes, grid: Grid, axes: GridAxes): Pasted {
  const cells = Float64Array.from(grid.cells);
  const columns = given.x.map((at) => indexOf(axes.x, at));
  const rows = given.y === undefined ? [0] : given.y.map((at) => indexOf(axes.y!, at));
  if (columns.every((c) => c >= 0) && rows.every((r) => r >= 0)) {
    for (const [i, row] of values.entries()) for (const [k, value] of row.entries()) cells[rows[i]! * grid.columns + columns[k]!] = value;
    return { cells, says: "The cells went where their axes say." };
  }
  if (!rises(given.x) || (given.y !== undefined && !rises(given.y)))
    return { problem: "The axes on the clipboard are not this table's and do not rise, so they cannot be read off." };
  let filled = 0;
  for (let i = 0; i < cells.length; i++) {
    const [row, column] = [Math.floor(i / grid.columns), i % grid.columns];
    const value = readOff(values, given, axes.x[column]!, axes.y?.[row]);
    if (value === undefined) continue;
    cells[i] = value;
    filled++;
  }
  if (filled === 0) return { problem: "No cell of this table lies within the axes on the clipboard." };
  const stay = cells.length - filled;
  return {
    cells,
    says: `The axes differ: ${filled} cells were read off between the clipboard's breakpoints${stay === 0 ? "" : `, ${stay} beyond them stay`}.`,
  };
}

/** Bilinear within the given axes; undefined outside. */
function readOff(values: readonly number[][], given: GridAxes, x: number, y: number | undefined): number | undefined {
  const at = bracket(given.x, x);
  const up = given.y === undefined || y === undefined ? { from: 0, share: 0 } : bracket(given.y, y);
  if (at === undefined || up === undefined) return undefined;
  const along = (row: readonly number[]): number => row[at.from]! + (at.share === 0 ? 0 : at.share * (row[at.from + 1]! - row[at.from]!));
  const low = along(values[up.from]!);
  return up.share === 0 ? low : low + up.share * (along(values[up.from + 1]!) - low);
}

function bracket(axis: readonly number[], at: number): { readonly from: number; readonly share: number } | undefined {
  const exact = indexOf(axis, at);
  if (exact >= 0) return { from: exact, share: 0 };
  for (let i = 1; i < axis.length; i++) if (at > axis[i - 1]! && at < axis[i]!) return { from: i - 1, share: (at - axis[i - 1]!) / (axis[i]! - axis[i - 1]!) };
  return undefined;
}

function indexOf(axis: readonly number[], at: number): number {
  return axis.findIndex((own) => Math.abs(own - at) <= SAME_BREAKPOINT * Math.max(1e-6, Math.abs(own)));
}

function rises(axis: readonly number[]): boolean {
  return axis.every((value, i) => i === 0 || value > axis[i - 1]!);
}

function indices(from: number, to: number): number[] {
  return Array.from({ length: to - from + 1 }, (_, i) => from + i);
}

/** A number as any desktop writes it: decimal point or comma, a proper minus. */
export function read(field: string): number {
  const text = field
    .trim()
    .replace("−", "-")
    .replace(/^(-?\d*),(\d+)$/, "$1.$2");
  return text === "" ? Number.NaN : Number(text);
}

function plain(value: number): string {
  return String(Number(value.toPrecision(8)));
}
