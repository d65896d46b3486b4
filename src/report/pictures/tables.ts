import { columnsOf, lookUp, rowsOf, type Table } from "../../core/tables/index.ts";
import { decimalsFor, decimalsOf, field, formatNumber, formatSigned, type Picture, type ProfileLine, profile, unitAfter } from "../../drawing/index.ts";
import type { Context } from "../context.ts";
import type { Measure } from "../measures.ts";

/** A table with the factory's beside it on the same breakpoints. */
export interface TablePair {
  readonly after: Table;
  readonly before?: Table;
}

/** The reference looked up at the breakpoints of the table, so that both can be drawn over one axis. */
export function onSameAxes(table: Table, reference: Table): Table {
  const columns = columnsOf(table);
  const cells = Float64Array.from(table.cells, (_, i) => lookUp(reference, table.x?.values[i % columns] ?? 0, table.y?.values[Math.floor(i / columns)] ?? 0));
  return { ...table, cells };
}

export function isGrid(table: Table): boolean {
  return rowsOf(table) > 1 && columnsOf(table) > 1;
}

export function isCurve(table: Table): boolean {
  return table.x !== undefined && columnsOf(table) > 1 && rowsOf(table) === 1;
}

/** Cells as the sheet writes them, unless units were chosen: then the words of the edits and the pictures speak of the same figures. */
export function tableMeasure(context: Context, table: Table): Measure {
  const { format } = table;
  if (context.unitChoice !== undefined || format === undefined) return context.measures(table.unit);
  const of = (value: number): number => (value - format.offset) / format.scale;
  return {
    symbol: context.measures(format.unit).symbol,
    of,
    all: (values) => Float64Array.from(values as ArrayLike<number>, of),
    differences: (values) => Float64Array.from(values as ArrayLike<number>, (value) => value / format.scale),
  };
}

/** Whether a change is better told in percent of the value than in the table's unit. */
function isToldInPercent(table: Table): boolean {
  if (table.role !== undefined && !/^(air\.|fuel\.injector-flow|idle\.base|throttle\.)/.test(table.role)) return false;
  if (table.unit === "deg" || table.unit === "fraction" || table.unit === "0/1" || table.unit === "°C") return false;
  return Array.from(table.cells).every((cell) => !(cell <= 0));
}

export interface Differences {
  readonly cells: Float64Array;
  /** Unit in words of display. */
  readonly unit: string;
  readonly isRelative: boolean;
  readonly changed: number;
  /** Largest change with its sign, e.g. "+12 %". */
  readonly largest: string;
  /** Where that is, e.g. "2000 rpm and 45 kPa"; empty when it is so throughout or nowhere. */
  readonly where: string;
}

/** Change of each cell: in percent where that is how the trade says it, else in the unit shown. Noise of the last bit is no change. */
export function differences(context: Context, before: Table, after: Table): Differences {
  const isRelative = isToldInPercent(before) && isToldInPercent(after);
  const scale = Math.max(1e-9, ...Array.from(after.cells, Math.abs));
  const raw = Float64Array.from(after.cells, (cell, i) => {
    const difference = cell - before.cells[i]!;
    if (Math.abs(difference) <= 1e-7 * scale) return 0;
    return isRelative ? (cell / before.cells[i]! - 1) * 100 : difference;
  });
  const measure = tableMeasure(context, after);
  const cells = isRelative ? raw : measure.differences(raw);
  const unit = isRelative ? "%" : measure.symbol;
  const at = indexOfLargest(cells);
  const extreme = at < 0 ? 0 : cells[at]!;
  const isEverywhere = cells.every((cell) => Math.abs(cell - extreme) <= 1e-6 * Math.abs(extreme));
  return {
    cells,
    unit,
    isRelative,
    changed: cells.filter((cell) => Number.isFinite(cell) && cell !== 0).length,
    largest: unitAfter(formatSigned(extreme, Math.min(3, decimalsFor(extreme, 3))), unit === "–" ? "" : unit),
    where: at < 0 || isEverywhere ? "" : placeOf(context, after, at),
  };
}

function indexOfLargest(cells: Float64Array): number {
  let best = -1;
  cells.forEach((cell, i) => {
    if (Number.isFinite(cell) && cell !== 0 && (best < 0 || Math.abs(cell) > Math.abs(cells[best]!))) best = i;
  });
  return best;
}

/** A cell's breakpoints in words. */
function placeOf(context: Context, table: Table, cell: number): string {
  const columns = columnsOf(table);
  const say = (axis: Table["x"], index: number): string | undefined => {
    if (axis === undefined) return undefined;
    const measure = context.measures(axis.unit);
    const value = measure.of(axis.values[index]!);
    const text = formatNumber(value, decimalsOf([value], 2));
    return measure.symbol === "–" ? `${axis.name.toLowerCase()} ${text}` : unitAfter(text, measure.symbol);
  };
  return context.texts.list([say(table.x, cell % columns), say(table.y, Math.floor(cell / columns))].filter((part) => part !== undefined));
}

/** A table folded into at most four lines; the longer axis lies along x. */
export function tableProfile(
  context: Context,
  pair: TablePair,
  options: { caption: string; widthPx?: number; heightPx?: number; deviationPercent?: ArrayLike<number>; limit?: { value: number; label: string } },
): Picture {
  const { after, before } = pair;
  const folded = fold(after);
  const measure = tableMeasure(context, after);
  const lineMeasure = folded.across === undefined ? undefined : context.measures(folded.across.unit);
  const xMeasure = context.measures(folded.along?.unit ?? "-");
  const take = (cells: ArrayLike<number>, line: number): Float64Array => Float64Array.from({ length: folded.length }, (_, i) => cells[folded.index(line, i)]!);
  const lines = pickLines(pair, folded).map((line): ProfileLine => {
    const now = take(after.cells, line);
    const half =
      options.deviationPercent === undefined
        ? undefined
        : take(options.deviationPercent, line).map((percent) => (Number.isFinite(percent) ? 1.645 * percent * 0.01 : 0));
    return {
      label: folded.across === undefined ? "" : lineLabel(folded.across, line, lineMeasure!),
      before: before === undefined ? undefined : measure.all(take(before.cells, line)),
      after: measure.all(now),
      low: half === undefined ? undefined : measure.all(now.map((cell, i) => cell - Math.abs(cell) * half[i]!)),
      high: half === undefined ? undefined : measure.all(now.map((cell, i) => cell + Math.abs(cell) * half[i]!)),
    };
  });
  return profile({
    id: context.pictureId(),
    title: after.title,
    caption: options.caption,
    widthPx: options.widthPx,
    heightPx: options.heightPx,
    x: { name: folded.along?.name ?? "", unit: xMeasure.symbol, values: xMeasure.all(folded.along?.values ?? [0]) },
    y: { name: after.title, unit: measure.symbol },
    lines,
    limit: options.limit === undefined ? undefined : { value: measure.of(options.limit.value), label: options.limit.label },
    words: context.texts.pictures,
  });
}

interface Folded {
  readonly along: Table["x"];
  readonly across: Table["x"];
  readonly length: number;
  readonly lines: number;
  readonly index: (line: number, i: number) => number;
}

function fold(table: Table): Folded {
  const columns = columnsOf(table);
  const rows = rowsOf(table);
  // A handful of columns (shifts, gears) make the lines; they are no axis to draw along.
  if (rows > 1 && columns <= 6 && rows > columns)
    return { along: table.y, across: table.x, length: rows, lines: columns, index: (line, i) => i * columns + line };
  return { along: table.x, across: rows > 1 ? table.y : undefined, length: columns, lines: rows, index: (line, i) => line * columns + i };
}

function lineLabel(axis: NonNullable<Table["x"]>, line: number, measure: { symbol: string; all: (values: ArrayLike<number>) => Float64Array }): string {
  const values = measure.all(axis.values);
  const value = formatNumber(values[line]!, Math.min(2, decimalsOf(values)));
  return measure.symbol === "–" ? `${axis.name.toLowerCase()} ${value}` : `${value} ${measure.symbol}`;
}

/** The line that changed most, the outer ones, and one between: enough to see the shape. */
function pickLines(pair: TablePair, folded: Folded, most = 4): number[] {
  if (folded.lines <= most) return Array.from({ length: folded.lines }, (_, i) => i);
  const moved = (line: number): number => {
    let sum = 0;
    for (let i = 0; i < folded.length; i++) {
      const at = folded.index(line, i);
      sum += Math.abs(pair.after.cells[at]! - (pair.before?.cells[at] ?? pair.after.cells[at]!));
    }
    return Number.isFinite(sum) ? sum : 0;
  };
  const all = Array.from({ length: folded.lines }, (_, i) => i);
  const strongest = all.reduce((best, line) => (moved(line) > moved(best) ? line : best), 0);
  const spread = [0.12, 0.5, 0.94].map((share) => Math.round(share * (folded.lines - 1)));
  const picked = new Set([strongest, ...spread.filter((line) => Math.abs(line - strongest) > 1)]);
  return [...picked].sort((a, b) => a - b).slice(0, most);
}

/** Where a grid differs and by how much. */
export function differenceField(
  context: Context,
  pair: Required<TablePair>,
  options: {
    caption: string;
    widthPx?: number;
    heightPx?: number;
    solidity?: ArrayLike<number>;
    region?: readonly [readonly [number, number], readonly [number, number]];
  },
): Picture {
  const { after, before } = pair;
  const change = differences(context, before, after);
  return field({
    id: context.pictureId(),
    title: context.texts.pictures.changeOf(after.title),
    caption: options.caption,
    widthPx: options.widthPx,
    heightPx: options.heightPx,
    ...axesOf(context, after),
    cells: change.cells,
    value: { name: change.isRelative ? context.texts.edits.relative(after.title) : after.title, unit: change.unit === "–" ? "" : change.unit },
    mode: "difference",
    solidity: options.solidity,
    solidityWords: [...context.texts.corrections.solidity],
    region: options.region,
    words: context.texts.pictures,
  });
}

/** A grid by its values, with contours; `range` is in canonical units. */
export function valueField(
  context: Context,
  table: Table,
  options: { caption: string; widthPx?: number; heightPx?: number; range?: readonly [number, number] },
): Picture {
  const measure = tableMeasure(context, table);
  return field({
    id: context.pictureId(),
    title: table.title,
    caption: options.caption,
    widthPx: options.widthPx,
    heightPx: options.heightPx,
    ...axesOf(context, table),
    cells: measure.all(table.cells),
    value: { name: table.title, unit: measure.symbol === "–" ? "" : measure.symbol },
    range: options.range === undefined ? undefined : [measure.of(options.range[0]), measure.of(options.range[1])],
    mode: "value",
    contours: 8,
    words: context.texts.pictures,
  });
}

function axesOf(context: Context, table: Table) {
  const axis = (of: Table["x"]) => {
    const measure = context.measures(of?.unit ?? "-");
    return { name: of?.name ?? "", unit: measure.symbol, values: measure.all(of?.values ?? [0]) };
  };
  return { x: axis(table.x), y: axis(table.y) };
}
