import { type Axis, columnsOf, rowsOf, type Table } from "../tables/index.ts";
import type { Comparison, Rectangle } from "./comparison.ts";
import type { Story } from "./story.ts";

/** A number with no more digits than a person would write. */
export function plain(value: number, digits = 4): string {
  if (value === 0) return "0";
  return String(Number(value.toPrecision(digits)));
}

function signed(value: number): string {
  return value < 0 ? `−${plain(-value)}` : `+${plain(value)}`;
}

/** One sentence on what was done to a table; no story: nothing was. */
export function sentence(table: Table, c: Comparison, story: Story | undefined): string {
  const n = c.received.length;
  if (story === undefined) return n === 1 ? `unchanged at ${cell(table, c.received[0]!)}` : `all ${n} cells unchanged`;
  if (n === 1) return sentenceOfOne(table, c, story);
  const rounded = `rounded to ${plain(inSheetUnit(table, c.step))}`;
  const who = n === c.changed.length ? `all ${n} cells` : `${c.changed.length} of ${n} cells`;
  switch (story.kind) {
    case "scaled":
      return `all ${n} cells times ${plain(story.by!)}, ${rounded}${cutWords(table, story)}${leftWords(story)}`;
    case "offset":
      return `all ${n} cells ${signedAmount(table, story.by!)}, ${rounded}${cutWords(table, story)}${leftWords(story)}`;
    case "zeroed":
      return `all ${n} cells set to 0; the reference runs from ${span(table, c.reference)}`;
    case "flattened":
      return `all ${n} cells set to one value, ${cell(table, c.received[0]!)}; the reference runs from ${span(table, c.reference)}`;
    case "clamped":
      return clampWords(table, c, story);
    case "patched":
      return patchWords(table, c, story);
    case "part-scaled":
      return `${place(table, story.rectangle!)} times ${plain(story.by!)}, ${rounded}; the rest untouched${leftWords(story)}`;
    case "part-offset":
      return `${place(table, story.rectangle!)} ${signedAmount(table, story.by!)}; the rest untouched${leftWords(story)}`;
    case "smoothed":
      return `smoothed: same shape, ${who} moved by at most ${plain(inSheetUnit(table, largestMove(c)))} ${sheetUnit(table)}`;
    case "spiked":
      return `${c.changed.length === 1 ? "one cell" : `${c.changed.length} isolated cells`} changed, the rest untouched: ${list(table, c)}`;
    default:
      return `${who} changed with no single rule${story.rectangle ? ` within ${place(table, story.rectangle)}` : ""}: ${moveRange(table, c)}`;
  }
}

function sentenceOfOne(table: Table, c: Comparison, story: Story): string {
  const change = `${cell(table, c.reference[0]!)} became ${cell(table, c.received[0]!)}`;
  return story.kind === "scaled" ? `${change}, times ${plain(story.by!)}` : change;
}

/** Sentence for a table whose breakpoints differ from the reference's. */
export function sentenceOfAxes(table: Table, reference: Table, c: Comparison, story: Story | undefined): string {
  const axes = [axisWords("x", table.x, reference.x), axisWords("y", table.y, reference.y)].filter((w) => w !== "").join("; ");
  const size = `${rowsOf(table)} × ${columnsOf(table)} against ${rowsOf(reference)} × ${columnsOf(reference)} cells`;
  const rest =
    story === undefined
      ? "only the axes changed: looked up at its breakpoints the reference gives the same values"
      : `the values differ too: ${sentence(table, c, story)}`;
  return `${axes || size}; ${rest}`;
}

function axisWords(which: string, axis: Axis | undefined, reference: Axis | undefined): string {
  if (axis === undefined && reference === undefined) return "";
  if (axis === undefined) return `${which} axis gone`;
  if (reference === undefined) return `${which} axis new`;
  const [a, b] = [axis.values, reference.values];
  if (a.length === b.length && a.every((v, i) => Math.abs(v - b[i]!) <= 1e-6 * Math.max(1, Math.abs(v)))) return "";
  return `${axis.name} ${a.length} breakpoints ${plain(a[0]!)} to ${plain(a.at(-1)!)} ${axis.unit}, reference ${b.length} from ${plain(b[0]!)} to ${plain(b.at(-1)!)}`;
}

function sheetUnit(table: Table): string {
  return table.format?.unit ?? table.unit;
}

/** A difference in the unit that the sheet is written in. */
function inSheetUnit(table: Table, difference: number): number {
  return difference / Math.abs(table.format?.scale ?? 1);
}

function cell(table: Table, value: number): string {
  if (table.unit === "0/1" && (value === 0 || value === 1)) return value === 1 ? "on" : "off";
  const native = (value - (table.format?.offset ?? 0)) / (table.format?.scale ?? 1);
  return `${plain(native, 5)} ${sheetUnit(table)}`.trim();
}

function signedAmount(table: Table, by: number): string {
  return `${signed(inSheetUnit(table, by))} ${sheetUnit(table)}`;
}

function span(table: Table, cells: Float64Array): string {
  return `${cell(table, Math.min(...cells))} to ${cell(table, Math.max(...cells))}`;
}

function cutWords(table: Table, story: Story): string {
  if (story.cut === undefined) return "";
  return `, ${story.cut.count} of them held at the ${story.cut.side === "ceiling" ? "largest" : "smallest"} value ${cell(table, story.cut.at)}`;
}

function leftWords(story: Story): string {
  return story.unexplained === 0 ? "" : `; ${story.unexplained === 1 ? "one cell does" : `${story.unexplained} cells do`} not follow`;
}

function clampWords(table: Table, c: Comparison, story: Story): string {
  const cut = story.cut!;
  const verb = story.detail === "both" ? `cut at a floor of ${cell(table, Math.min(...c.received))} and a ceiling of` : `cut at a ${cut.side} of`;
  return `${verb} ${cell(table, cut.at)}: ${cut.count} of ${c.received.length} cells held there; the rest untouched`;
}

function patchWords(table: Table, c: Comparison, story: Story): string {
  const where = place(table, story.rectangle!);
  const detail = story.detail ?? "";
  if (detail.startsWith("value:")) return `${where} replaced by one value, ${cell(table, Number(detail.slice(6)))}; the rest untouched`;
  const source = detail.startsWith("copy:") ? "a copy of neighbouring cells" : `a copy of the ${detail.startsWith("row") ? "row" : "column"} beside`;
  return `${where} replaced by ${source}; the rest untouched (${c.changed.length} cells changed)`;
}

/** A rectangle in the words of its axes. */
export function place(table: Table, r: Rectangle): string {
  const cells = (r.bottom - r.top + 1) * (r.right - r.left + 1);
  const parts = [`${cells} ${cells === 1 ? "cell" : "cells"}`];
  if (table.x !== undefined) parts.push(between(table.x, r.left, r.right));
  if (table.y !== undefined) parts.push(between(table.y, r.top, r.bottom));
  return parts.join(", ");
}

function between(axis: Axis, from: number, to: number): string {
  const [a, b] = [plain(axis.values[from]!), plain(axis.values[to]!)];
  return `${axis.name} ${from === to ? a : `${a} to ${b}`}${axis.unit === "-" || axis.unit === "" ? "" : ` ${axis.unit}`}`;
}

function list(table: Table, c: Comparison): string {
  const shown = c.changed.slice(0, 6).map((i) => {
    const at = place(table, { top: Math.floor(i / c.columns), bottom: Math.floor(i / c.columns), left: i % c.columns, right: i % c.columns }).replace(
      "1 cell, ",
      "",
    );
    return `${at}: ${cell(table, c.reference[i]!)} became ${cell(table, c.received[i]!)}`;
  });
  return shown.join("; ") + (c.changed.length > 6 ? "; …" : "");
}

function largestMove(c: Comparison): number {
  return c.changed.reduce((most, i) => Math.max(most, Math.abs(c.received[i]! - c.reference[i]!)), 0);
}

function moveRange(table: Table, c: Comparison): string {
  const moves = c.changed.map((i) => c.received[i]! - c.reference[i]!);
  return `by ${signed(inSheetUnit(table, Math.min(...moves)))} to ${signedAmount(table, Math.max(...moves))}`;
}
