import { UnusableInput } from "../base/index.ts";
import type { CellEdit, CellRegion } from "../book/index.ts";

function wrong(what: string, action: string): UnusableInput {
  return new UnusableInput({ at: { file: "command line" }, what, do: action });
}

/** A number as typed, decimal point or comma. @throws UnusableInput when it is none */
export function numberOf(text: string, name: string): number {
  const value = text.trim() === "" ? Number.NaN : Number(text.replace(",", "."));
  if (Number.isFinite(value)) return value;
  throw wrong(`${name}: "${text}" is no number`, "Give a number");
}

export function positiveOf(text: string, name: string): number {
  const value = numberOf(text, name);
  if (value > 0) return value;
  throw wrong(`${name}: ${text} is not above zero`, "Give a number above zero");
}

export function wholeOf(text: string, name: string): number {
  if (/^\d{1,9}$/.test(text)) return Number(text);
  throw wrong(`${name}: "${text}" is no whole number`, "Give a whole number, counted from zero");
}

/** One of some words. @throws UnusableInput naming them all */
export function oneOf<Word extends string>(text: string, words: readonly Word[], name: string): Word {
  const found = words.find((word) => word === text);
  if (found !== undefined) return found;
  throw wrong(`${name}: there is no "${text}"`, `Take one of ${words.join(", ")}`);
}

/** "3,4": row 3, column 4, counted from zero. */
export function cellOf(text: string): readonly [number, number] {
  const found = /^(\d+),(\d+)$/.exec(text.trim());
  if (found !== null) return [Number(found[1]), Number(found[2])];
  throw wrong(`"${text}" is no cell`, "Give row and column, counted from zero, as in 3,4");
}

/** "0,0:3,4" or a single cell. */
export function regionOf(text: string): CellRegion {
  const [first, last, more] = text.split(":");
  if (first === undefined || more !== undefined) throw wrong(`"${text}" is no region`, "Give first and last cell, as in 0,0:3,4");
  return [cellOf(first), cellOf(last ?? first)];
}

/** "3,4=61.5" */
export function cellEditOf(text: string): CellEdit {
  const at = text.indexOf("=");
  if (at < 0) throw wrong(`"${text}" sets no cell`, "Give row, column and value, as in 3,4=61.5");
  const [row, column] = cellOf(text.slice(0, at));
  return { row, column, value: numberOf(text.slice(at + 1), "value") };
}
