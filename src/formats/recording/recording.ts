import type { Problem } from "../../base/index.ts";
import type { Channel, OtherColumn, Recording } from "../../core/recordings/index.ts";
import type { Intake } from "../../core/result/index.ts";
import { guessSignals, parseUnit, type SignalId, splitNameAndUnit, type Unit } from "../../core/units/index.ts";
import { decode, openText, unusable } from "../text.ts";
import { type ColumnFacts, chooseSignals } from "./choose.ts";
import { type Columns, codeOfText, isTextCode, readColumns } from "./columns.ts";
import { type Dialect, findDialect } from "./dialect.ts";
import { judgeValues } from "./doubts.ts";
import { findTime } from "./find-time.ts";
import { widen } from "./long-form.ts";
import { preambleOf } from "./preamble.ts";
import { numberOfWord } from "./states.ts";
import { toCanonical } from "./to-canonical.ts";

/** Facts that help where a file gives no units. */
export interface RecordingContext {
  readonly intake?: Intake;
  /** A dynamometer sweep: plain "speed" and "force" are the roller's. */
  readonly isSweep?: boolean;
  /** Columns that a person named, by the source's name with or without its unit: a signal, or `none` for a column to leave alone. */
  readonly columns?: Readonly<Record<string, SignalId | "none">>;
}

export interface RecordingRead {
  readonly recording: Recording;
  readonly problems: readonly Problem[];
}

/**
 * Reads a recording in any dialect: everything is found by looking at the data.
 *
 * @throws UnusableInput when the file is empty, binary, or holds no row of numbers
 */
export function readRecording(file: string, bytes: Uint8Array, context: RecordingContext = {}): RecordingRead {
  const text = openText(file, bytes);
  const dialect = findDialect(file, text);
  const columns = readColumns(text.bytes, {
    start: dialect.dataStart,
    firstLine: dialect.dataLine + 1,
    delimiter: dialect.delimiter,
    decimals: dialect.decimals,
    clocks: dialect.clocks,
    bytesPerRow: dialect.bytesPerRow,
    decoder: (from, to) => decode(text, from, to),
  });
  if (columns.rows === 0) throw unusable(file, "no row of data could be read", "Record it again, or take the file out of the packet");
  const repairs = [...text.remarks, ...repairsOfRows(columns, dialect)];
  const wide = widen(dialect, columns);
  if (wide !== undefined) repairs.push(`one sample a row, ${wide.columns.values.length - 1} channels: laid out as columns`);
  return assemble(file, wide?.dialect ?? dialect, wide?.columns ?? columns, repairs, context);
}

function plural(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}

function repairsOfRows(columns: Columns, dialect: Dialect): string[] {
  const repairs: string[] = [];
  const { fields } = dialect;
  const cut = columns.isLastCut ? columns.tooShort.at(-1) : undefined;
  const short = cut === undefined ? columns.tooShort : columns.tooShort.slice(0, -1);
  if (short.length > 0)
    repairs.push(`${plural(short.length, "row")} with too few fields, first in line ${short[0]!.line} (${short[0]!.fields} of ${fields}): left out`);
  if (columns.tooLongCount > 0)
    repairs.push(
      `${plural(columns.tooLongCount, "row")} with too many fields, first in line ${columns.tooLong[0]!.line} (${columns.tooLong[0]!.fields} instead of ${fields}): left out`,
    );
  if (columns.paddedCount > 0) repairs.push(`${plural(columns.paddedCount, "row")} end early: what is missing at their end is taken for blank`);
  if (columns.wordLines.length > 0)
    repairs.push(`${plural(columns.wordLines.length, "line")} of words among the data, first line ${columns.wordLines[0]}: left out`);
  if (cut !== undefined) repairs.push(`last row cut off after ${cut.fields} of ${fields} fields: left out`);
  return repairs;
}

function assemble(file: string, dialect: Dialect, columns: Columns, repairs: string[], context: RecordingContext): RecordingRead {
  const facts = factsOfColumns(dialect, columns, repairs);
  const preamble = preambleOf(dialect.preamble);
  const time = findTime(facts, columns.values, preamble, repairs);
  const rest = facts.filter((fact) => fact.index !== time.column);
  const order = time.base.order;
  const kept = (values: Float64Array): Float64Array => {
    if (order === undefined) return values;
    const out = Float64Array.from(order, (row) => values[row]!);
    for (const [to, from] of time.base.merged) if (Number.isNaN(out[to]!)) out[to] = values[from]!;
    return out;
  };
  const choice = chooseSignals(rest, context, repairs);
  const channels: Partial<Record<SignalId, Channel>> = {};
  const others: OtherColumn[] = [];
  const settled = toCanonical(choice.chosen, { context, preamble, repairs, kept: (fact) => kept(settleWords(fact, columns, repairs)) });
  const judged = judgeValues(settled, context, repairs);
  for (const { fact, signal, confidence, values } of judged.kept) channels[signal] = { signal, source: fact.source, confidence, values };
  for (const { fact, values } of judged.refused) others.push({ source: fact.source, unit: fact.unitText, values });
  for (const fact of choice.unrecognised)
    others.push({ source: fact.source, unit: fact.unitText, values: kept(settleWords({ fact, signal: undefined }, columns, repairs)) });
  return { recording: { file, timeS: time.base.timeS, channels, others, preamble, repairs }, problems: [] };
}

/** Names, units and sources of the columns; duplicates are told apart. */
function factsOfColumns(dialect: Dialect, columns: Columns, repairs: string[]): ColumnFacts[] {
  const seen = new Map<string, number>();
  if (dialect.names.length === 0) repairs.push("no line of names above the data: no column can be recognised");
  return columns.values.map((values, index) => {
    const written = dialect.names[index] ?? "";
    const split = splitNameAndUnit(written);
    const unitRow = (dialect.units[index] ?? "").replace(/^[[({](.*)[\])}]$/, "$1").trim();
    const unitText = unitRow !== "" ? unitRow : split.unitText;
    let source = written === "" ? `column ${index + 1}` : unitRow !== "" ? `${written} [${unitRow}]` : written;
    const count = (seen.get(source) ?? 0) + 1;
    seen.set(source, count);
    if (count > 1) {
      source = `${source} #${count}`;
      repairs.push(`two columns are named "${written}": the later one is kept as "${source}"`);
    }
    const unit: Unit | "unknown" | undefined = unitText === "" ? undefined : (parseUnit(unitText) ?? "unknown");
    const guesses = written === "" ? [] : guessSignals(unitRow === "" ? split.name : written, unit);
    return { index, name: split.name, source, unitText, unit, isClock: dialect.clocks[index] ?? false, guesses, values };
  });
}

/** Words of a column made numbers where they are states; NaN and said otherwise. */
function settleWords({ fact, signal }: { fact: ColumnFacts; signal: SignalId | undefined }, columns: Columns, repairs: string[]): Float64Array {
  const { index, values } = fact;
  if (columns.infinities[index]! > 0) repairs.push(`${fact.source}: ${plural(columns.infinities[index]!, "value")} said to be infinite: taken for no sample`);
  if (columns.thousands[index]! > 0) repairs.push(`${fact.source}: thousands separators in ${plural(columns.thousands[index]!, "value")}: read as such`);
  if (columns.wordCounts[index]! === 0) return values;
  const words = columns.words[index]!;
  const numbers = words.map((word) => numberOfWord(word, signal));
  let lost = 0;
  const out = values.map((value) => {
    if (!isTextCode(value)) return value;
    const number = numbers[codeOfText(value)] ?? Number.NaN;
    if (Number.isNaN(number)) lost++;
    return number;
  });
  const states = words.filter((_, i) => !Number.isNaN(numbers[i]!)).map((word) => `${word} = ${numbers[words.indexOf(word)]}`);
  if (states.length > 0) repairs.push(`${fact.source}: words read as ${states.slice(0, 6).join(", ")}`);
  if (lost > 0) {
    const strange = words.find((_, i) => Number.isNaN(numbers[i]!)) ?? "";
    repairs.push(`${fact.source}: ${plural(lost, "value")} not a number, such as "${strange}": taken for no sample`);
  }
  return out;
}
