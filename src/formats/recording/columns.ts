import { isInfinite, isMissing, parseClock, parseNumber } from "./numbers.ts";

/** What to read and how. */
export interface ColumnPlan {
  readonly start: number;
  /** Line of the first data row, counted from one. */
  readonly firstLine: number;
  readonly delimiter: string;
  readonly decimals: readonly ("." | ",")[];
  readonly clocks: readonly boolean[];
  readonly bytesPerRow: number;
  readonly decoder: (from: number, to: number) => string;
}

export interface OddRow {
  readonly line: number;
  readonly fields: number;
}

/** Columns as numbers. A word that is no number is kept as `TEXT_BASE - code` until its meaning is settled. */
export interface Columns {
  readonly rows: number;
  readonly values: readonly Float64Array[];
  /** Distinct words of a column, by code. */
  readonly words: readonly (readonly string[])[];
  readonly wordCounts: readonly number[];
  readonly infinities: readonly number[];
  readonly thousands: readonly number[];
  readonly tooLong: readonly OddRow[];
  readonly tooLongCount: number;
  /** Rows with too few fields that were left out. */
  readonly tooShort: readonly OddRow[];
  readonly paddedCount: number;
  /** Lines that hold words only: footers, repeated headers. */
  readonly wordLines: readonly number[];
  readonly isLastCut: boolean;
}

/** Far below any measured value; codes count down from here. */
export const TEXT_BASE = -1e300;
const TEXT_STEP = 1e290;
const MOST_WORDS = 256;

export function isTextCode(value: number): boolean {
  return value <= TEXT_BASE;
}

export function codeOfText(value: number): number {
  return Math.round((TEXT_BASE - value) / TEXT_STEP);
}

const POWERS = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));
const LF = 10;
const CR = 13;
const QUOTE = 34;

/**
 * Reads delimited numbers to columns.
 *
 * Digits are read straight from the bytes: a mantissa below 2^53 with at most 22 decimals is correctly rounded by one division
 * (Clinger 1990), everything else goes through `parseNumber`. One pass, no strings on the fast path.
 */
export function readColumns(bytes: Uint8Array, plan: ColumnPlan): Columns {
  const n = plan.decimals.length;
  const delimiter = plan.delimiter.charCodeAt(0);
  const end = bytes.length;
  let capacity = Math.max(16, Math.ceil(((end - plan.start) / plan.bytesPerRow) * 1.05) + 8);
  const values = Array.from({ length: n }, () => new Float64Array(capacity));
  const decimals = Uint8Array.from(plan.decimals, (mark) => mark.charCodeAt(0));
  const codes = Array.from({ length: n }, () => new Map<string, number>());
  const wordCounts = new Array<number>(n).fill(0);
  const infinities = new Array<number>(n).fill(0);
  const thousands = new Array<number>(n).fill(0);
  const tooLong: OddRow[] = [];
  let tooLongCount = 0;
  const short: { row: number; line: number; fields: number }[] = [];
  let shortCount = 0;
  const wordLines: number[] = [];
  let row = 0;
  let line = plan.firstLine;
  let at = plan.start;
  let isLastCut = false;
  // Shared with the slow path; the fast path counts in a local, which costs less.
  const slow = { numbers: 0 };
  const wordsInRow: number[] = [];

  const slowValue = (column: number, from: number, to: number): number => {
    let text = plan.decoder(from, to).trim();
    if (text.length > 1 && text[0] === '"' && text.endsWith('"')) text = text.slice(1, -1).replaceAll('""', '"').trim();
    if (text.startsWith("=")) text = text.slice(1).replace(/^"|"$/g, "");
    if (text === "" || isMissing(text)) return Number.NaN;
    const mark = plan.decimals[column]!;
    const number = parseNumber(text, mark);
    if (number !== undefined) {
      slow.numbers++;
      if (/\d[\s'’.,]\d{3}/.test(text) && !/^[+-]?\d+[.,]\d+$/.test(text)) thousands[column]!++;
      return number;
    }
    if (isInfinite(text)) {
      infinities[column]!++;
      return Number.NaN;
    }
    const clock = text.includes(":") ? parseClock(text) : undefined;
    if (clock !== undefined) {
      slow.numbers++;
      return clock;
    }
    wordCounts[column]!++;
    wordsInRow.push(column);
    return TEXT_BASE - TEXT_STEP * codeOf(codes[column]!, text);
  };

  while (at < end) {
    const first = bytes[at]!;
    if (first === LF || first === CR) {
      at += first === CR && bytes[at + 1] === LF ? 2 : 1;
      line++;
      continue;
    }
    if (row === capacity) {
      capacity = Math.ceil(capacity * 1.5);
      for (let c = 0; c < n; c++) {
        const grown = new Float64Array(capacity);
        grown.set(values[c]!);
        values[c] = grown;
      }
    }
    let column = 0;
    let surplus = 0;
    let isEnded = false;
    let numbers = 0;
    slow.numbers = 0;
    wordsInRow.length = 0;
    for (;;) {
      while (bytes[at] === 32) at++;
      const from = at;
      let byte = at < end ? bytes[at]! : LF;
      let isNegative = false;
      let mantissa = 0;
      let digits = 0;
      let decimalsSeen = -1;
      let isPlain = true;
      const mark = column < n ? decimals[column]! : 46;
      if (byte === 45) {
        isNegative = true;
        byte = ++at < end ? bytes[at]! : LF;
      }
      for (;;) {
        const digit = byte - 48;
        if (digit >= 0 && digit <= 9) {
          mantissa = mantissa * 10 + digit;
          digits++;
          if (decimalsSeen >= 0) decimalsSeen++;
        } else if (byte === mark && decimalsSeen < 0 && byte !== delimiter) decimalsSeen = 0;
        else if (byte === delimiter || byte === LF || byte === CR) break;
        else {
          isPlain = false;
          if (byte === QUOTE && at === from) {
            at++;
            while (at < end && !(bytes[at] === QUOTE && bytes[at + 1] !== QUOTE)) {
              if (bytes[at] === QUOTE) at++;
              else if (bytes[at] === LF || bytes[at] === CR) break;
              at++;
            }
          }
          byte = at < end ? bytes[at]! : LF;
          while (byte !== delimiter && byte !== LF && byte !== CR) byte = ++at < end ? bytes[at]! : LF;
          break;
        }
        byte = ++at < end ? bytes[at]! : LF;
      }
      let value: number;
      if (isPlain && digits > 0 && mantissa < 9007199254740992 && decimalsSeen <= 22) {
        value = decimalsSeen > 0 ? mantissa / POWERS[decimalsSeen]! : mantissa;
        if (isNegative) value = -value;
        numbers++;
      } else if (at === from) value = Number.NaN;
      else value = column < n ? slowValue(column, from, at) : (parseNumber(plan.decoder(from, at).trim(), ".") ?? 0);
      if (column < n) values[column]![row] = value;
      else if (at > from && !Number.isNaN(value)) surplus++;
      column++;
      if (byte === delimiter) {
        at++;
        continue;
      }
      if (at < end) {
        isEnded = true;
        if (bytes[at] === CR && bytes[at + 1] === LF) at++;
        at++;
      }
      break;
    }
    const hasNumbers = numbers + slow.numbers > 0;
    const isWords = !hasNumbers && wordsInRow.length > 0;
    const isNothing = !hasNumbers && wordsInRow.length === 0 && column < n;
    if (surplus > 0 || isWords || isNothing) {
      for (const c of wordsInRow) wordCounts[c]!--;
      if (isWords) wordLines.push(line);
      else if (surplus > 0) {
        tooLongCount++;
        if (tooLong.length < 20) tooLong.push({ line, fields: column });
      }
    } else {
      for (let c = column; c < n; c++) values[c]![row] = Number.NaN;
      if (column < n) {
        shortCount++;
        if (short.length < 4096) short.push({ row, line, fields: column });
        if (at >= end && !isEnded) isLastCut = true;
      }
      row++;
    }
    line++;
  }

  // Short rows here and there are damage and are left out; short rows everywhere are a writer that drops trailing blanks.
  const isHabit = shortCount > Math.max(3, 0.05 * row) && shortCount <= 4096 ? true : shortCount > 4096;
  const dropped = isHabit ? (isLastCut ? short.slice(-1) : []) : short;
  if (dropped.length > 0)
    row = removeRows(
      values,
      row,
      dropped.map((odd) => odd.row),
    );
  return {
    rows: row,
    values: values.map((column) => column.subarray(0, row)),
    words: codes.map((map) => [...map.keys()]),
    wordCounts,
    infinities,
    thousands,
    tooLong,
    tooLongCount,
    tooShort: dropped.map(({ line: at, fields }) => ({ line: at, fields })),
    paddedCount: isHabit ? shortCount - dropped.length : 0,
    wordLines,
    isLastCut,
  };
}

function codeOf(codes: Map<string, number>, text: string): number {
  const known = codes.get(text);
  if (known !== undefined) return known;
  if (codes.size >= MOST_WORDS) return MOST_WORDS;
  codes.set(text, codes.size);
  return codes.size - 1;
}

function removeRows(values: readonly Float64Array[], rows: number, remove: readonly number[]): number {
  const gone = new Set(remove);
  for (const column of values) {
    let to = 0;
    for (let from = 0; from < rows; from++) if (!gone.has(from)) column[to++] = column[from]!;
  }
  return rows - gone.size;
}
