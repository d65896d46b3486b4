import { type Columns, codeOfText, isTextCode } from "./columns.ts";
import type { Dialect } from "./dialect.ts";

const VALUE_NAME = /^(value|val|reading|data|wert)$/i;
const CHANNEL_NAME = /^(name|signal|channel|parameter|param|item|measurement|quantity|tag|pid.?name|sensor)$/i;
const UNIT_NAME = /^(unit|units|uom|einheit)$/i;
const TIME_NAME = /^(time|t|timestamp|elapsed)/i;

/**
 * A recording with one sample a row (time, channel, value and perhaps unit) as one with a column a channel; undefined for any other.
 * A row for each time, blank where a channel has no sample then.
 */
export function widen(dialect: Dialect, columns: Columns): { dialect: Dialect; columns: Columns } | undefined {
  const at = (pattern: RegExp): number => dialect.names.findIndex((name) => pattern.test(name.trim().replace(/[_\s]*[[(].*$/, "")));
  const time = at(TIME_NAME);
  const channel = at(CHANNEL_NAME);
  const value = at(VALUE_NAME);
  if (time < 0 || channel < 0 || value < 0) return undefined;
  const channels = columns.words[channel]!;
  if (channels.length < 2 || columns.wordCounts[channel]! < 0.5 * columns.rows) return undefined;
  const unit = at(UNIT_NAME);
  const rowOfTime = new Map<number, number>();
  const times: number[] = [];
  const order = Array.from({ length: columns.rows }, (_, row) => row).filter((row) => isTextCode(columns.values[channel]![row]!));
  for (const row of order) {
    const seconds = columns.values[time]![row]!;
    if (rowOfTime.has(seconds)) continue;
    rowOfTime.set(seconds, times.length);
    times.push(seconds);
  }
  const values = channels.map(() => new Float64Array(times.length).fill(Number.NaN));
  const units = channels.map(() => "");
  for (const row of order) {
    const code = codeOfText(columns.values[channel]![row]!);
    if (code >= channels.length) continue;
    values[code]![rowOfTime.get(columns.values[time]![row]!)!] = columns.values[value]![row]!;
    const unitCode = unit < 0 ? Number.NaN : columns.values[unit]![row]!;
    if (units[code] === "" && isTextCode(unitCode)) units[code] = columns.words[unit]![codeOfText(unitCode)] ?? "";
  }
  const zeros = new Array<number>(channels.length + 1).fill(0);
  const states = values.map((column) => column.reduce((count, each) => count + (isTextCode(each) ? 1 : 0), 0));
  return {
    dialect: {
      ...dialect,
      names: [dialect.names[time]!, ...channels],
      units: [dialect.units[time] ?? "", ...units],
      clocks: [dialect.clocks[time]!, ...channels.map(() => false)],
      decimals: [dialect.decimals[time]!, ...channels.map(() => dialect.decimals[value]!)],
      fields: channels.length + 1,
    },
    columns: {
      ...columns,
      rows: times.length,
      values: [Float64Array.from(times), ...values],
      words: [[], ...channels.map(() => columns.words[value]!)],
      wordCounts: [0, ...states],
      infinities: zeros,
      thousands: zeros,
    },
  };
}
