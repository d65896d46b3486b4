import type { Problem } from "../../base/index.ts";
import type { Axis, CellFormat, Role, Table } from "../../core/tables/index.ts";
import { describeRole, isRole } from "../../core/tables/index.ts";
import { applyConversion, type Conversion, conversionOf, parseUnit } from "../../core/units/index.ts";
import { decode, openText, type TextFile, unusable } from "../text.ts";

/** A table sheet as read: the table in canonical units, and the text it came from, so that it can be written back. */
export interface TableSheet {
  readonly file: string;
  readonly table: Table;
  /** Role as the sheet states it; absent where the sheet has none. */
  readonly statedRole?: Role;
  /** Axis and cell units as written. */
  readonly units: { readonly cells: string; readonly x?: string; readonly y?: string };
  /** Keys above the data that mean nothing to us, in order; kept on writing. */
  readonly otherKeys: readonly (readonly [key: string, value: string])[];
  readonly source: SheetSource;
  /** What was mended or assumed on reading, in words. */
  readonly remarks: readonly string[];
}

/** The text of a sheet, cut so that single cells can be replaced. */
export interface SheetSource {
  readonly lines: readonly string[];
  /** Line end of each line as written, the last one possibly empty. */
  readonly ends: readonly string[];
  readonly hasByteOrderMark: boolean;
  readonly delimiter: string;
  readonly decimal: "." | ",";
  /** Line and field of each cell, both from zero, and its text. */
  readonly cells: readonly { readonly line: number; readonly field: number; readonly text: string }[];
  /** Cells and axes as written, in the sheet's own units. */
  readonly native: { readonly cells: Float64Array; readonly x?: Float64Array; readonly y?: Float64Array };
}

interface Line {
  readonly number: number;
  readonly fields: readonly string[];
}

/**
 * Reads a table, curve or single value.
 *
 * @throws UnusableInput naming line and column when a cell is no number, a row is ragged, an axis does not ascend, or there is no data
 */
export function readTableSheet(file: string, bytes: Uint8Array): TableSheet {
  const text = openText(file, bytes);
  const cut = cutLines(decode(text));
  const delimiter = findDelimiter(cut.lines);
  const lines: Line[] = cut.lines.map((line, i) => ({ number: i, fields: splitKeepingPlaces(line, delimiter).map(unquote) }));
  const head = readHead(file, lines, delimiter, cut.lines);
  const decimal = delimiter === ";" || delimiter === "\t" ? findDecimal(lines) : ".";
  const body = head.valueLine !== undefined ? readValue(file, head.valueLine, decimal) : readData(file, lines, head, decimal);
  return build(file, text, bytes, cut, delimiter, decimal, head, body);
}

function cutLines(content: string): { lines: string[]; ends: string[] } {
  const lines: string[] = [];
  const ends: string[] = [];
  const pattern = /([^\r\n]*)(\r\n|\n|\r|$)/y;
  while (pattern.lastIndex < content.length) {
    const match = pattern.exec(content)!;
    lines.push(match[1]!);
    ends.push(match[2]!);
  }
  return { lines, ends };
}

function findDelimiter(lines: readonly string[]): string {
  const keyed = (delimiter: string): number =>
    lines.filter((line) => /^\s*"?(table|role|unit|x|y|data|value)"?\s*$/i.test(line.split(delimiter)[0] ?? "") && line.includes(delimiter)).length;
  return [",", ";", "\t"].reduce((best, delimiter) => (keyed(delimiter) > keyed(best) ? delimiter : best));
}

/** Raw fields, quotes still on, so that joining them by the delimiter gives the line back. */
export function splitKeepingPlaces(line: string, delimiter: string): string[] {
  const fields: string[] = [];
  let from = 0;
  let isQuoted = false;
  for (let i = 0; i < line.length; i++) {
    if (line[i] === '"') isQuoted = !isQuoted;
    else if (line[i] === delimiter && !isQuoted) {
      fields.push(line.slice(from, i));
      from = i + 1;
    }
  }
  fields.push(line.slice(from));
  return fields;
}

function unquote(field: string): string {
  const trimmed = field.trim();
  return trimmed.length > 1 && trimmed.startsWith('"') && trimmed.endsWith('"') ? trimmed.slice(1, -1).replaceAll('""', '"').trim() : trimmed;
}

function findDecimal(lines: readonly Line[]): "." | "," {
  let comma = 0;
  let dot = 0;
  for (const { fields } of lines)
    for (const field of fields) {
      if (/^[+-]?\d+,\d+$/.test(field)) comma++;
      if (/^[+-]?\d*\.\d+$/.test(field)) dot++;
    }
  return comma > dot ? "," : ".";
}

interface Head {
  readonly title: string | undefined;
  readonly role: string | undefined;
  readonly roleLine: number;
  readonly unit: string | undefined;
  readonly x: { name: string; unit: string } | undefined;
  readonly y: { name: string; unit: string } | undefined;
  readonly dataLine: Line | undefined;
  readonly valueLine: Line | undefined;
  readonly otherKeys: readonly (readonly [string, string])[];
}

function readHead(file: string, lines: readonly Line[], delimiter: string, raw: readonly string[]): Head {
  const keys = new Map<string, Line>();
  const otherKeys: (readonly [string, string])[] = [];
  let dataLine: Line | undefined;
  let valueLine: Line | undefined;
  for (const line of lines) {
    const key = line.fields[0]!.toLowerCase().replace(/:$/, "");
    if (key === "" && line.fields.every((field) => field === "")) continue;
    if (key === "data") {
      dataLine = line;
      break;
    }
    if (key === "value") {
      valueLine = line;
      break;
    }
    if (["table", "role", "unit", "x", "y"].includes(key)) {
      if (keys.has(key))
        throw unusable(file, `"${key}" is given twice, first in line ${keys.get(key)!.number + 1}`, "Keep one of the two lines", {
          line: line.number + 1,
          column: 1,
        });
      keys.set(key, line);
    } else otherKeys.push([line.fields[0]!, line.fields.slice(1).join(delimiter)]);
  }
  if (dataLine === undefined && valueLine === undefined) {
    const what =
      keys.size === 0 ? "this is not a table sheet: none of the lines table, unit, data or value is there" : 'found neither a "data" line nor a "value" line';
    throw unusable(file, what, 'Add the line "data" with the breakpoints (or "value" with the number), or take the file out of the packet', {
      line: raw.length,
    });
  }
  // A free text may hold the delimiter unquoted: the rest of the line belongs to it.
  const free = (key: string): string | undefined => trimEnd(keys.get(key)?.fields.slice(1) ?? [])?.join(`${delimiter} `);
  const axis = (key: string): { name: string; unit: string } | undefined => {
    const line = keys.get(key);
    if (line === undefined) return undefined;
    const fields = trimEnd(line.fields.slice(1)) ?? [];
    if (fields.length <= 1) return { name: fields[0] ?? "", unit: "" };
    return { name: fields.slice(0, -1).join(`${delimiter} `), unit: fields.at(-1)! };
  };
  return {
    title: free("table"),
    role: free("role"),
    roleLine: (keys.get("role")?.number ?? 0) + 1,
    unit: free("unit"),
    x: axis("x"),
    y: axis("y"),
    dataLine,
    valueLine,
    otherKeys,
  };
}

function trimEnd(fields: readonly string[]): string[] | undefined {
  let n = fields.length;
  while (n > 0 && fields[n - 1] === "") n--;
  return n === 0 ? undefined : fields.slice(0, n);
}

interface Body {
  readonly cells: Float64Array;
  readonly x?: Float64Array;
  readonly y?: Float64Array;
  readonly places: readonly { line: number; field: number; text: string }[];
  readonly remarks: readonly string[];
}

function numberAt(file: string, text: string, line: number, field: number, decimal: "." | ",", what: string): number {
  const plain = decimal === "," ? text.replace(",", ".") : text;
  if (/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain)) return Number(plain);
  const found = text === "" ? "an empty cell" : `"${text}"`;
  throw unusable(file, `expected a number${what === "" ? "" : ` ${what}`}, found ${found}`, "Correct the cell", { line: line + 1, column: field + 1 });
}

function readValue(file: string, line: Line, decimal: "." | ","): Body {
  const fields = trimEnd(line.fields) ?? [];
  const value = numberAt(file, fields[1] ?? "", line.number, 1, decimal, 'after "value"');
  if (fields.length > 2)
    throw unusable(file, `expected one number after "value", found ${fields.length - 1}`, "Keep one number; a decimal mark is a dot", {
      line: line.number + 1,
      column: 3,
    });
  return { cells: Float64Array.of(value), places: [{ line: line.number, field: 1, text: fields[1]! }], remarks: [] };
}

function readData(file: string, lines: readonly Line[], head: Head, decimal: "." | ","): Body {
  const { dataLine } = head;
  const breakpoints = trimEnd(dataLine!.fields.slice(1)) ?? [];
  const x = Float64Array.from(breakpoints, (field, i) => numberAt(file, field, dataLine!.number, i + 1, decimal, "for a breakpoint"));
  if (x.length === 0)
    throw unusable(file, 'the "data" line has no breakpoints', "Write the breakpoints of the x axis after it", { line: dataLine!.number + 1, column: 2 });
  requireAscending(file, x, (i) => ({ line: dataLine!.number + 1, column: i + 2 }), "x");
  const rows = lines.filter((line) => line.number > dataLine!.number && line.fields.some((field) => field !== ""));
  if (rows.length === 0) throw unusable(file, "no row of cells under the breakpoints", "Write the cells under the data line", { line: dataLine!.number + 1 });
  const hasY = head.y !== undefined || rows.length > 1 || rows[0]!.fields[0] !== "";
  if (!hasY || (head.y === undefined && rows.length === 1)) return curveBody(file, rows, x, decimal);
  return tableBody(file, rows, x, decimal, head.y === undefined);
}

function curveBody(file: string, rows: readonly Line[], x: Float64Array, decimal: "." | ","): Body {
  const line = rows[0]!;
  if (line.fields[0] !== "")
    throw unusable(
      file,
      `a curve's row of values starts with an empty cell, found "${line.fields[0]}"`,
      "Put a comma before the first value, or add the y line",
      { line: line.number + 1, column: 1 },
    );
  const { cells, places } = rowCells(file, line, x.length, decimal);
  return { x, cells: Float64Array.from(cells), places, remarks: [] };
}

function tableBody(file: string, rows: readonly Line[], x: Float64Array, decimal: "." | ",", lacksY: boolean): Body {
  const y = Float64Array.from(rows, (line) => numberAt(file, line.fields[0]!, line.number, 0, decimal, "for a y breakpoint"));
  requireAscending(file, y, (i) => ({ line: rows[i]!.number + 1, column: 1 }), "y");
  const read = rows.map((line) => rowCells(file, line, x.length, decimal));
  return {
    x,
    y,
    cells: Float64Array.from(read.flatMap((row) => row.cells)),
    places: read.flatMap((row) => row.places),
    remarks: lacksY ? ["no y line: the first column is taken for the y axis"] : [],
  };
}

function rowCells(file: string, line: Line, columns: number, decimal: "." | ","): { cells: number[]; places: { line: number; field: number; text: string }[] } {
  let found = line.fields.length - 1;
  while (found > columns && line.fields[found] === "") found--;
  if (found !== columns)
    throw unusable(file, `expected ${columns} cells in the row, found ${found}`, "Give every breakpoint one cell", {
      line: line.number + 1,
      column: Math.min(found, columns) + 2,
    });
  const cells: number[] = [];
  const places: { line: number; field: number; text: string }[] = [];
  for (let i = 1; i <= columns; i++) {
    cells.push(numberAt(file, line.fields[i]!, line.number, i, decimal, ""));
    places.push({ line: line.number, field: i, text: line.fields[i]! });
  }
  return { cells, places };
}

function requireAscending(file: string, values: Float64Array, place: (i: number) => { line: number; column: number }, axis: string): void {
  for (let i = 1; i < values.length; i++)
    if (!(values[i]! > values[i - 1]!))
      throw unusable(
        file,
        `the ${axis} axis must ascend, found ${values[i]} after ${values[i - 1]}`,
        "Put the breakpoints in ascending order, with their cells",
        place(i),
      );
}

function build(
  file: string,
  text: TextFile,
  bytes: Uint8Array,
  cut: { lines: string[]; ends: string[] },
  delimiter: string,
  decimal: "." | ",",
  head: Head,
  body: Body,
): TableSheet {
  const remarks = [...text.remarks, ...body.remarks];
  const role = head.role !== undefined && isRole(head.role) ? head.role : undefined;
  if (head.role !== undefined && role === undefined)
    remarks.push(`line ${head.roleLine}: "${head.role}" is not a role known here: looked for by title and units instead`);
  const title = head.title ?? file.replace(/^.*\//, "").replace(/\.csv$/i, "");
  if (head.title === undefined) remarks.push("no table line: the file's name stands for the title");
  const raw: Table = {
    title,
    ...(role === undefined ? {} : { role }),
    unit: head.unit ?? "",
    ...(body.x === undefined ? {} : { x: axisOf(head.x, body.x) }),
    ...(body.y === undefined ? {} : { y: axisOf(head.y, body.y) }),
    cells: body.cells,
  };
  const sheet: TableSheet = {
    file,
    table: raw,
    ...(role === undefined ? {} : { statedRole: role }),
    units: { cells: head.unit ?? "", ...(head.x === undefined ? {} : { x: head.x.unit }), ...(head.y === undefined ? {} : { y: head.y.unit }) },
    otherKeys: head.otherKeys,
    source: {
      lines: cut.lines,
      ends: cut.ends,
      hasByteOrderMark: bytes[0] === 0xef && bytes[1] === 0xbb,
      delimiter,
      decimal,
      cells: body.places,
      native: { cells: body.cells, ...(body.x === undefined ? {} : { x: body.x }), ...(body.y === undefined ? {} : { y: body.y }) },
    },
    remarks,
  };
  return withRole(sheet, role);
}

function axisOf(named: { name: string; unit: string } | undefined, values: Float64Array): Axis {
  return { name: named?.name ?? "", unit: named?.unit ?? "", values };
}

/** The sheet with its table in the canonical units of a role; without one, in the units as written. */
export function withRole(sheet: TableSheet, role: Role | undefined): TableSheet {
  const { table, source, units } = sheet;
  // What was said of units belongs to the role that the sheet had.
  const remarks = sheet.remarks.filter((remark) => !/^(cells|[xy] axis): /.test(remark));
  const described = role === undefined ? undefined : describeRole(role);
  const cellsBy = unitStep(units.cells, described?.unit, "cells", remarks);
  const axis = (
    raw: Axis | undefined,
    native: Float64Array | undefined,
    written: string | undefined,
    target: string | undefined,
    name: string,
  ): Axis | undefined => {
    if (raw === undefined || native === undefined) return undefined;
    const by = unitStep(written ?? "", target, name, remarks);
    return {
      name: raw.name,
      unit: by === undefined ? (written ?? "") : target!,
      values: by === undefined ? native : native.map((value) => applyConversion(value, by)),
    };
  };
  const x = axis(table.x, source.native.x, units.x, described?.x?.unit, "x axis");
  const y = axis(table.y, source.native.y, units.y, described?.y?.unit, "y axis");
  const { role: _previous, ...rest } = table;
  const canonical: Table = {
    ...rest,
    ...(role === undefined ? {} : { role }),
    unit: cellsBy === undefined ? units.cells : described!.unit,
    ...(x === undefined ? {} : { x }),
    ...(y === undefined ? {} : { y }),
    cells: cellsBy === undefined ? source.native.cells : source.native.cells.map((value) => applyConversion(value, cellsBy)),
    format: formatOf(sheet, cellsBy),
  };
  return { ...sheet, table: canonical, remarks };
}

/** Conversion from a written unit to the role's; undefined when there is nothing to convert to, or the unit says something else. */
function unitStep(written: string, target: string | undefined, part: string, remarks: string[]): Conversion | undefined {
  if (target === undefined) return undefined;
  const same: Conversion = { scale: 1, offset: 0, isReciprocal: false };
  if (written.trim() === "") {
    if (target !== "-" && target !== "0/1") remarks.push(`${part}: no unit given, taken as ${target}`);
    return same;
  }
  const unit = parseUnit(written);
  const wanted = parseUnit(target);
  if (unit === undefined || wanted === undefined) {
    remarks.push(`${part}: unit "${written}" is not known, taken as ${target}`);
    return same;
  }
  if (unit.quantity === wanted.quantity) return conversionOf(unit, wanted);
  // "-" for a fraction or a switch says only that there is no dimension.
  if (unit.quantity === "count" || unit.quantity === "state" || wanted.quantity === "count" || wanted.quantity === "state") return same;
  if (wanted.symbol === "AFR" && unit.quantity === "mixture") return conversionOf(unit, wanted);
  remarks.push(`${part}: unit "${written}" is ${unit.quantity}, ${target} expected; numbers kept as they stand`);
  return same;
}

/** Decimals of a number as written. */
export function decimalsOf(text: string, decimal: string): number {
  const at = text.indexOf(decimal);
  if (/e/i.test(text)) return 6;
  return at < 0 ? 0 : text.length - at - 1;
}

function formatOf(sheet: TableSheet, by: Conversion | undefined): CellFormat {
  const decimals = sheet.source.cells.reduce((most, cell) => Math.max(most, decimalsOf(cell.text, sheet.source.decimal)), 0);
  if (by === undefined) return { unit: sheet.units.cells, scale: 1, offset: 0, decimals };
  return { unit: sheet.units.cells, scale: by.scale, offset: by.offset, decimals, ...(by.isReciprocal ? { isReciprocal: true } : {}) };
}

/** Problems of a list of sheets that only show together: two sheets of one stated role. */
export function duplicateRoles(sheets: readonly TableSheet[]): Problem[] {
  const first = new Map<Role, TableSheet>();
  const problems: Problem[] = [];
  for (const sheet of sheets) {
    if (sheet.statedRole === undefined) continue;
    const other = first.get(sheet.statedRole);
    if (other === undefined) first.set(sheet.statedRole, sheet);
    else
      problems.push({
        at: { file: sheet.file },
        what: `role ${sheet.statedRole} is already that of ${other.file}`,
        do: "Give one of the two another role; this one is read without a role",
      });
  }
  return problems;
}
