import { parseUnit } from "../../core/units/index.ts";
import { decode, type TextFile, unusable } from "../text.ts";
import { isInfinite, isMissing, parseClock, parseNumber } from "./numbers.ts";

/** How a recording is written, found by looking at its first quarter megabyte. */
export interface Dialect {
  readonly delimiter: string;
  /** Names as written; empty when the file has no header line. */
  readonly names: readonly string[];
  /** Units row under the header (or above it), one a name; empty when there is none. */
  readonly units: readonly string[];
  readonly preamble: readonly string[];
  /** Decimal mark by column. */
  readonly decimals: readonly ("." | ",")[];
  /** Columns that hold clock times. */
  readonly clocks: readonly boolean[];
  /** Fields in a data row. */
  readonly fields: number;
  /** First data line, counted from zero, and its first byte. */
  readonly dataLine: number;
  readonly dataStart: number;
  readonly bytesPerRow: number;
}

const SAMPLE_BYTES = 1 << 18;
const DELIMITERS = ["\t", ";", ",", "|"] as const;

/** Fields of a line; a delimiter within double quotes does not divide. Quotes are taken off, doubled ones become one. */
export function splitLine(line: string, delimiter: string): string[] {
  if (!line.includes('"')) return line.split(delimiter).map((field) => field.trim());
  const fields: string[] = [];
  let field = "";
  let isQuoted = false;
  for (let i = 0; i < line.length; i++) {
    const sign = line[i]!;
    if (sign === '"') {
      if (isQuoted && line[i + 1] === '"') {
        field += '"';
        i++;
      } else if (isQuoted || field.trim() === "") isQuoted = !isQuoted;
      else field += sign;
    } else if (sign === delimiter && !isQuoted) {
      fields.push(field.trim());
      field = "";
    } else field += sign;
  }
  fields.push(field.trim());
  return fields;
}

function isValue(field: string): boolean {
  return isMissing(field) || isInfinite(field) || parseNumber(field, ".") !== undefined || parseClock(field) !== undefined;
}

function isNumberOrClock(field: string): boolean {
  return field !== "" && !isMissing(field) && isValue(field);
}

interface Candidate {
  readonly delimiter: string;
  /** Most frequent number of fields, and the least and greatest that at least a tenth of the rows have. */
  readonly fields: number;
  readonly least: number;
  readonly most: number;
  readonly score: number;
}

function weigh(lines: readonly string[], delimiter: string): Candidate {
  const rows = lines.map((line) => splitLine(line, delimiter));
  const counts = new Map<number, number>();
  for (const row of rows) counts.set(row.length, (counts.get(row.length) ?? 0) + 1);
  const [fields, often] = [...counts].reduce((best, entry) => (entry[1] > best[1] || (entry[1] === best[1] && entry[0] > best[0]) ? entry : best));
  const usual = [...counts].filter(([, count]) => count >= 0.1 * rows.length).map(([each]) => each);
  const least = Math.min(fields, ...usual);
  const most = Math.max(fields, ...usual);
  if (fields < 2) return { delimiter, fields, least, most, score: 0 };
  const typical = rows.filter((row) => row.length === fields);
  let good = 0;
  for (const row of typical) for (const field of row) if (isValue(field)) good++;
  const readable = good / (typical.length * fields);
  return { delimiter, fields, least, most, score: (often / rows.length) * readable * readable * (1 + 0.02 * Math.log(fields)) };
}

/** A sample of lines from the middle and end of what was looked at: past any preamble and header. */
function bodyLines(lines: readonly string[]): string[] {
  const filled = lines.filter((line) => line.trim() !== "");
  const from = Math.min(Math.floor(filled.length / 3), 60);
  const body = filled.slice(from, from + 240);
  return body.length > 3 ? body.slice(0, -1) : body;
}

/** Finds delimiter, decimal marks, header, units row, preamble and clock columns. @throws UnusableInput when there is no table of numbers. */
export function findDialect(file: string, text: TextFile): Dialect {
  const isWhole = text.bytes.length <= SAMPLE_BYTES;
  const sample = decode(text, 0, Math.min(text.bytes.length, SAMPLE_BYTES));
  let lines = sample.split(/\r\n|\n|\r/);
  if (!isWhole && lines.length > 1) lines = lines.slice(0, -1);
  const body = bodyLines(lines);
  const candidates = DELIMITERS.map((delimiter) => weigh(body, delimiter));
  const best = candidates.reduce((a, b) => (b.score > a.score ? b : a));
  if (best.score < 0.15) return oneColumn(file, text, lines);
  const rows = lines.map((line) => splitLine(line, best.delimiter));
  const first = firstDataLine(rows, best);
  if (first < 0) throw noData(file, lines.length);
  const head = headOf(rows, first, best.most);
  const data = rows.slice(first, first + 400).filter((row) => row.length >= best.least - 1);
  const names = head.names;
  // Rows may end early by habit, so the widest usual row counts, unless the names say that the most frequent one is whole.
  const wide = trimTrailing(names).length === best.fields ? best.fields : best.most;
  const named = trimTrailing(names).length;
  const fields = Math.max(wide, named) - (named < wide && isTrailingBlank(rows.slice(first), wide) ? 1 : 0);
  return {
    delimiter: best.delimiter,
    names: names.length === 0 ? [] : padTo(trimTrailing(names), fields),
    units: head.units.length === 0 ? [] : padTo(head.units, fields),
    preamble: lines.slice(0, head.top).filter((line) => line.trim() !== ""),
    decimals: Array.from({ length: fields }, (_, c) => decimalOf(data, c, best.delimiter)),
    clocks: Array.from({ length: fields }, (_, c) => isClockColumn(data, c)),
    fields,
    dataLine: first,
    dataStart: byteOfLine(text.bytes, first),
    bytesPerRow: Math.max(2, meanLength(lines.slice(first))),
  };
}

function noData(file: string, lines: number): Error {
  return unusable(file, `found no row of numbers in ${lines} line${lines === 1 ? "" : "s"}`, "Record it again, or take the file out of the packet");
}

function oneColumn(file: string, text: TextFile, lines: readonly string[]): Dialect {
  const first = lines.findIndex((line, i) => isNumberOrClock(line.trim()) && isValue((lines[i + 1] ?? "").trim()));
  if (first < 0) throw noData(file, lines.filter((line) => line.trim() !== "").length);
  const name = lines
    .slice(0, first)
    .filter((line) => line.trim() !== "")
    .at(-1);
  return {
    delimiter: "\t",
    names: name === undefined ? [] : [name.trim()],
    units: [],
    preamble: [],
    decimals: [
      decimalOf(
        lines.slice(first, first + 400).map((line) => [line.trim()]),
        0,
        "\t",
      ),
    ],
    clocks: [
      isClockColumn(
        lines.slice(first, first + 400).map((line) => [line.trim()]),
        0,
      ),
    ],
    fields: 1,
    dataLine: first,
    dataStart: byteOfLine(text.bytes, first),
    bytesPerRow: Math.max(2, meanLength(lines.slice(first))),
  };
}

function trimTrailing(row: readonly string[]): readonly string[] {
  let n = row.length;
  while (n > 0 && row[n - 1] === "") n--;
  return row.slice(0, n);
}

function isTrailingBlank(rows: readonly (readonly string[])[], fields: number): boolean {
  const full = rows.filter((row) => row.length === fields);
  return full.length > 0 && full.every((row) => row[fields - 1] === "");
}

function padTo(row: readonly string[], n: number): string[] {
  return Array.from({ length: n }, (_, i) => row[i] ?? "");
}

/** A data row: right number of fields, at least one number, and more numbers than words. */
function isDataRow(row: readonly string[], { least, most }: { readonly least: number; readonly most: number }): boolean {
  if (row.length < least - 1 || row.length > most + 1) return false;
  let numbers = 0;
  let words = 0;
  for (const field of row) {
    if (field === "") continue;
    if (isNumberOrClock(field)) numbers++;
    else if (!isMissing(field)) words++;
  }
  return numbers > 0 && numbers >= words;
}

function firstDataLine(rows: readonly (readonly string[])[], usual: { readonly least: number; readonly most: number }): number {
  for (let i = 0; i < rows.length; i++) {
    if (!isDataRow(rows[i]!, usual)) continue;
    const next = rows.slice(i + 1, i + 6).filter((row) => row.length > 1);
    if (next.length === 0 || next.some((row) => isDataRow(row, usual))) return i;
  }
  return -1;
}

function unitShare(row: readonly string[]): number {
  const filled = row.filter((field) => field !== "");
  return filled.length === 0 ? 0 : filled.filter((field) => looksLikeUnit(field)).length / filled.length;
}

function looksLikeUnit(field: string): boolean {
  const bare = field.replace(/^[[({]|[\])}]$/g, "");
  return parseUnit(bare) !== undefined || /^h+:mm?:ss/i.test(bare) || /^(text|enum|state|raw)$/i.test(bare);
}

/** Header and units row: the text lines of the right width that stand right above the data. */
function headOf(rows: readonly (readonly string[])[], first: number, fields: number): { names: readonly string[]; units: readonly string[]; top: number } {
  let top = first;
  const block: number[] = [];
  while (top > 0 && block.length < 4) {
    const row = rows[top - 1]!;
    const filled = row.filter((field) => field !== "").length;
    if (filled === 0) {
      if (block.length > 0) break;
      top--;
      continue;
    }
    if (Math.abs(row.length - fields) > 1 || filled < Math.max(1, 0.25 * fields)) {
      // A header may lack the last names, or the data may carry more fields than it names.
      if (block.length > 0 || filled < 2 || row.length < 0.6 * fields) break;
    }
    if (row.filter((field) => isNumberOrClock(field)).length > 0.5 * filled) break;
    block.push(top - 1);
    top--;
  }
  if (block.length === 0) return { names: [], units: [], top: first };
  const unitsAt = block.length > 1 ? block.reduce((a, b) => (unitShare(rows[b]!) > unitShare(rows[a]!) ? b : a)) : -1;
  const hasUnits = unitsAt >= 0 && unitShare(rows[unitsAt]!) >= 0.5;
  const rest = block.filter((line) => !hasUnits || line !== unitsAt);
  // Names are the widest line; of equals the one next to the data.
  const namesAt = rest.reduce((a, b) => (rows[b]!.filter((f) => f !== "").length > rows[a]!.filter((f) => f !== "").length ? b : a));
  return { names: rows[namesAt]!, units: hasUnits ? rows[unitsAt]! : [], top: Math.min(namesAt, hasUnits ? unitsAt : namesAt) };
}

/** Decimal mark of a column, from the texts that allow only one reading; "." where nothing tells. */
function decimalOf(rows: readonly (readonly string[])[], column: number, delimiter: string): "." | "," {
  let comma = 0;
  let dot = 0;
  let maybeComma = 0;
  let maybeDot = 0;
  for (const row of rows) {
    const field = row[column];
    if (field === undefined || field === "" || field.includes(":")) continue;
    const lastComma = field.lastIndexOf(",");
    const lastDot = field.lastIndexOf(".");
    if (lastComma < 0 && lastDot < 0) continue;
    if (lastComma >= 0 && lastDot >= 0) {
      if (lastComma > lastDot) comma += 5;
      else dot += 5;
    } else if (lastComma >= 0) {
      if (!/^[+-]?[1-9]\d{0,2}(,\d{3})+$/.test(field)) comma++;
      else maybeComma++;
    } else if (!/^[+-]?[1-9]\d{0,2}(\.\d{3})+$/.test(field)) dot++;
    else maybeDot++;
  }
  if (comma !== dot) return comma > dot ? "," : ".";
  // Groups of three only: thousands when commas stand in a comma file would be quoted; a semicolon file speaks decimal commas.
  if (maybeComma > maybeDot) return delimiter === "," ? "." : ",";
  return ".";
}

function isClockColumn(rows: readonly (readonly string[])[], column: number): boolean {
  let clocks = 0;
  let filled = 0;
  for (const row of rows) {
    const field = row[column];
    if (field === undefined || field === "") continue;
    filled++;
    if (field.includes(":") && parseClock(field) !== undefined) clocks++;
  }
  return filled > 0 && clocks > 0.6 * filled;
}

/** First byte of a line, counted from zero; CR LF, LF and CR end lines. */
function byteOfLine(bytes: Uint8Array, line: number): number {
  let at = 0;
  for (let seen = 0; seen < line && at < bytes.length; at++) {
    if (bytes[at] === 10) seen++;
    else if (bytes[at] === 13) {
      seen++;
      if (bytes[at + 1] === 10) at++;
    }
  }
  return at;
}

function meanLength(lines: readonly string[]): number {
  const filled = lines.filter((line) => line !== "").slice(0, 200);
  return filled.length === 0 ? 1 : filled.reduce((sum, line) => sum + line.length + 1, 0) / filled.length;
}
