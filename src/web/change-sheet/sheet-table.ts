import type { JobView, TableView } from "../../api/index.ts";
import { decidedCells } from "../../core/tables/index.ts";
import type { Shown } from "../state/units.ts";
import { type CellState, cellStates } from "./cell-states.ts";

/** A table as the change sheet works on it: everything in the units shown, cells row by row. */
export interface SheetTable {
  readonly key: string;
  readonly title: string;
  readonly columns: number;
  readonly rows: number;
  readonly x: readonly number[];
  readonly y: readonly number[] | undefined;
  readonly xUnit: string;
  readonly yUnit: string;
  readonly value: Shown;
  /** As it is in the newest revision. */
  readonly base: Float64Array;
  /** What the recordings ask for. */
  readonly asked: Float64Array | undefined;
  /** With the decisions so far. */
  readonly now: Float64Array;
  readonly deviation: Float64Array | undefined;
  readonly samples: Float64Array | undefined;
  readonly states: readonly CellState[];
  readonly decisions: JobView["decisions"];
  readonly decimals: number;
}

export function keyOf(table: Pick<TableView, "role" | "title">): string {
  return table.role ?? table.title;
}

export function sheetTable(table: TableView, decisions: JobView["decisions"], units: (unit: string) => Shown): SheetTable {
  const columns = table.x?.values.length ?? 1;
  const rows = table.y?.values.length ?? 1;
  const value = units(table.unit);
  const [xShown, yShown] = [units(table.x?.unit ?? ""), units(table.y?.unit ?? "")];
  const canonical = (cells: readonly (number | null)[]): Float64Array => Float64Array.from(cells, (cell) => cell ?? Number.NaN);
  const base = canonical(table.current ?? table.asReceived ?? []);
  const proposed = table.proposed === undefined ? undefined : canonical(table.proposed);
  const key = keyOf(table);
  const own = decisions.filter((made) => made.role === key);
  const now = decidedCells(base, columns, proposed, own);
  const size = Math.abs(value.show(1) - value.show(0));
  const shownBase = base.map(value.show);
  return {
    key,
    title: table.title,
    columns,
    rows,
    x: (table.x?.values ?? [0]).map(xShown.show),
    y: table.y?.values.map(yShown.show),
    xUnit: xShown.unit,
    yUnit: yShown.unit,
    value,
    base: shownBase,
    asked: proposed?.map(value.show),
    now: now.map(value.show),
    deviation: table.deviation === undefined ? undefined : canonical(table.deviation).map((sd) => sd * size),
    samples: table.coverage === undefined ? undefined : canonical(table.coverage),
    states: cellStates(base.length, columns, own),
    decisions: own,
    decimals: decimalsOf(shownBase),
  };
}

/** A table's title within a sentence: "volumetric efficiency", but "VE by speed and pressure". */
export function midSentence(title: string): string {
  return /^[A-Z][a-z]/.test(title) ? title.charAt(0).toLowerCase() + title.slice(1) : title;
}

/** "2000 rpm, 45 kPa", or "2000 rpm" on a curve. */
export function placeOf(sheet: SheetTable, row: number, column: number): string {
  const at = (value: number, unit: string): string => `${String(Number(value.toPrecision(5))).replace("-", "−")}${unit === "" ? "" : ` ${unit}`}`;
  const x = at(sheet.x[column]!, sheet.xUnit);
  return sheet.y === undefined ? x : `${x}, ${at(sheet.y[row]!, sheet.yUnit)}`;
}

/** Cells that two versions of a table differ in. */
export function changedCount(before: Float64Array, after: Float64Array): number {
  let changed = 0;
  for (let i = 0; i < before.length; i++) if (differs(before[i]!, after[i]!)) changed++;
  return changed;
}

export function differs(a: number, b: number): boolean {
  return Math.abs(a - b) > 1e-9 * Math.max(1, Math.abs(a));
}

/** Change in percent, or in the unit where a value of nothing makes percent useless; undefined: unchanged. */
export function changeOf(before: number, after: number): number | undefined {
  if (!differs(before, after)) return undefined;
  return Math.abs(before) < 1e-9 ? after - before : 100 * (after / before - 1);
}

/** As many decimals as the values need; of values with many more, so many that the small ones keep two figures and the large ones stay short. */
function decimalsOf(cells: Float64Array): number {
  const isWhole = (decimals: number): boolean => cells.every((value) => Math.abs(value * 10 ** decimals - Math.round(value * 10 ** decimals)) < 1e-6);
  for (let decimals = 0; decimals < 4; decimals++) if (isWhole(decimals)) return decimals;
  const sizes = Array.from(cells, Math.abs).filter((size) => size > 0);
  const least = Math.min(...sizes);
  const needed = Math.max(0, 1 - Math.floor(Math.log10(least)));
  return Math.min(needed, Math.max(...sizes) >= 100 ? 2 : 3);
}
