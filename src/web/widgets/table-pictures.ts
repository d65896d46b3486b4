import type { TableView } from "../../api/index.ts";
import { type FieldSpec, field, type Picture, type ProfileLine, profile, unitAfter } from "../../drawing/index.ts";
import { type Shown, shownIn, type UnitSystem } from "../state/units.ts";

type Cells = readonly (number | null)[];
/** Metric or imperial for all, or how each unit is shown. */
type UnitChoice = UnitSystem | ((unit: string) => Shown);

function shownBy(unit: string, by: UnitChoice): Shown {
  return typeof by === "string" ? shownIn(unit, by) : by(unit);
}

/** Rows that stand for a table when it is folded into a few lines. */
const MOST_LINES = 4;

function converted(cells: Cells | undefined, by: Shown): Float64Array | undefined {
  return cells === undefined ? undefined : Float64Array.from(cells, (value) => (value === null ? Number.NaN : by.show(value)));
}

export interface Compared {
  readonly before: Cells;
  readonly after: Cells;
  readonly deviation?: Cells;
}

/** A table folded into a few rows, before dashed and after solid; undefined for a single value. */
export function profileOf(table: TableView, compared: Compared, caption: string, id: string, units: UnitChoice, widthPx = 900): Picture | undefined {
  if (table.x === undefined) return undefined;
  const value = shownBy(table.unit, units);
  const x = shownBy(table.x.unit, units);
  const columns = table.x.values.length;
  const before = converted(compared.before, value)!;
  const after = converted(compared.after, value)!;
  const spread =
    compared.deviation === undefined
      ? undefined
      : Float64Array.from(compared.deviation, (sd) => 1.645 * Math.abs((sd ?? Number.NaN) * (value.show(1) - value.show(0))));
  const lines = rowsToShow(table, before, after).map((row): ProfileLine => {
    const part = (cells: Float64Array): Float64Array => cells.subarray(row * columns, (row + 1) * columns);
    const y = table.y === undefined ? undefined : shownBy(table.y.unit, units);
    const label = y === undefined ? "" : unitAfter(tidy(y.show(table.y!.values[row]!)), y.unit);
    const bands = spread === undefined ? {} : { low: part(after).map((v, i) => v - part(spread)[i]!), high: part(after).map((v, i) => v + part(spread)[i]!) };
    return { label, before: part(before), after: part(after), ...bands };
  });
  return profile({
    id,
    title: table.title,
    caption,
    widthPx,
    heightPx: 300,
    x: { name: table.x.name, unit: x.unit, values: table.x.values.map(x.show) },
    y: { name: table.title, unit: value.unit },
    lines,
  });
}

/** The rows where most happened, with the ends of the axis for bearings. */
function rowsToShow(table: TableView, before: Float64Array, after: Float64Array): number[] {
  const rows = table.y?.values.length ?? 1;
  const columns = table.x?.values.length ?? 1;
  if (rows <= MOST_LINES) return Array.from({ length: rows }, (_, row) => row);
  const moved = Array.from({ length: rows }, (_, row) => {
    let sum = 0;
    for (let c = 0; c < columns; c++) sum += Math.abs((after[row * columns + c] ?? 0) - (before[row * columns + c] ?? 0)) || 0;
    return { row, sum };
  });
  const most = moved.reduce((a, b) => (b.sum > a.sum ? b : a)).row;
  const chosen = new Set([Math.round(rows * 0.15), most, Math.round(rows * 0.55), rows - 1]);
  return [...chosen].sort((a, b) => a - b);
}

/** The difference in percent, or in the table's unit where a before of nothing makes percent useless. */
export function differenceOf(
  table: TableView,
  compared: Compared,
  caption: string,
  id: string,
  units: UnitChoice,
  widthPx = 900,
  drawn: Pick<FieldSpec, "solidity" | "solidityWords" | "heightPx"> = {},
): Picture | undefined {
  if (table.x === undefined || table.y === undefined) return undefined;
  const inUnit = compared.before.some((value) => value === null || Math.abs(value) < 1e-9) || table.unit === "deg" || table.unit === "°C";
  const value = shownBy(table.unit, units);
  const cells = Float64Array.from(compared.before, (before, i) => {
    const after = compared.after[i];
    if (before === null || after === null || after === undefined) return Number.NaN;
    return inUnit ? value.show(after) - value.show(before) : 100 * (after / before - 1);
  });
  const x = shownBy(table.x.unit, units);
  const y = shownBy(table.y.unit, units);
  return field({
    id,
    title: `${table.title}, difference`,
    caption,
    widthPx,
    x: { name: table.x.name, unit: x.unit, values: table.x.values.map(x.show) },
    y: { name: table.y.name, unit: y.unit, values: table.y.values.map(y.show) },
    cells,
    value: { name: table.title, unit: inUnit ? value.unit : "%" },
    mode: "difference",
    ...drawn,
  });
}

export function tidy(value: number): string {
  return String(Number(value.toPrecision(3)));
}
