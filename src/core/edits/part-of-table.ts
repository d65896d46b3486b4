import { bitsOfChoice, bitsOfCount, bitsOfLeftOver, bitsOfRectangle, plainestWithin } from "./code-length.ts";
import { type Comparison, cellsOf, leftOver, type Rectangle, rectangleAround } from "./comparison.ts";
import { addendIntervals, factorIntervals, mostAgreed, surpriseOfEqualMoves, surpriseOfPlainFactor } from "./fit-number.ts";
import type { Story } from "./story.ts";

const PRIOR = { part: 3, patched: 3 } as const;

/** Stories about one rectangle, the rest untouched. The rectangle is the smallest that holds every changed cell. */
export function partStories(c: Comparison): Story[] {
  const n = c.received.length;
  if (n < 3 || c.changed.length < 2) return [];
  const rectangle = rectangleAround(c.changed, c.columns);
  const inside = cellsOf(rectangle, c.columns);
  if (inside.length === n) return [];
  const base = bitsOfRectangle(c.rows, c.columns);
  const told = { c, rectangle, inside, base };
  return [...numberStories(told), ...valueStories(told), ...copyStories(told)];
}

interface Told {
  readonly c: Comparison;
  readonly rectangle: Rectangle;
  readonly inside: readonly number[];
  readonly base: number;
}

function judged(told: Told, kind: Story["kind"], bits: number, predicted: Float64Array, extra: Partial<Story> = {}, exact = false): Story {
  const steps = leftOver(told.c, predicted, exact ? told.c.printed : told.c.tolerance);
  let unexplained = 0;
  for (const s of steps) if (s !== 0) unexplained++;
  return { kind, bits: told.base + bits + bitsOfLeftOver(steps), unexplained, rectangle: told.rectangle, ...extra };
}

function numberStories(told: Told): Story[] {
  const { c, inside } = told;
  const stories: Story[] = [];
  for (const kind of ["part-scaled", "part-offset"] as const) {
    const from = kind === "part-scaled" ? 1 : 0;
    const exact = { ...c, tolerance: c.printed };
    const factors = mostAgreed(factorIntervals(c, inside));
    const agreed = kind === "part-scaled" ? factors : mostAgreed(addendIntervals(exact, inside));
    if (agreed === undefined) continue;
    const by = plainestWithin(agreed.low, agreed.high, from, kind === "part-offset" ? c.step : 0);
    if (by === undefined || by.value === from) continue;
    const predicted = c.reference.slice();
    for (const i of inside) predicted[i] = kind === "part-scaled" ? c.reference[i]! * by.value : c.reference[i]! + by.value;
    const surprise = kind === "part-scaled" ? surpriseOfEqualMoves(c, inside, by.value) : surpriseOfPlainFactor(factors, inside.length);
    stories.push(judged(told, kind, PRIOR.part + by.bits + surprise, predicted, { by: by.value }, kind === "part-offset"));
  }
  return stories;
}

function valueStories(told: Told): Story[] {
  const { c, inside } = told;
  const value = c.received[c.changed[0]!]!;
  if (inside.some((i) => Math.abs(c.received[i]! - value) > c.printed[i]!)) return [];
  const predicted = c.reference.slice();
  for (const i of inside) predicted[i] = value;
  const bits = Math.min(bitsOfCount(Math.abs(value) / c.step), plainestWithin(value, value, 0, c.step)?.bits ?? 99);
  return [judged(told, "patched", PRIOR.patched + bits, predicted, { detail: `value:${value}` }, true)];
}

/** A copy of neighbouring cells: the rectangle moved, or the row or column beside it repeated. */
function copyStories(told: Told): Story[] {
  const { c, rectangle, inside } = told;
  const height = rectangle.bottom - rectangle.top + 1;
  const width = rectangle.right - rectangle.left + 1;
  const stories: Story[] = [];
  const tryCopy = (source: (row: number, column: number) => [number, number], detail: string, choices: number): void => {
    const predicted = c.reference.slice();
    for (const i of inside) {
      const [row, column] = source(Math.floor(i / c.columns), i % c.columns);
      if (row < 0 || column < 0 || row >= c.rows || column >= c.columns) return;
      predicted[i] = c.reference[row * c.columns + column]!;
    }
    for (const i of inside) if (Math.abs(predicted[i]! - c.received[i]!) > c.printed[i]!) return;
    stories.push(judged(told, "patched", PRIOR.patched + choices, predicted, { detail }, true));
  };
  // The block next to it, or the row or column beside it, are what a hand copies; any other move has to be told in full.
  const anyMove = 2 + bitsOfChoice((4 * height + 3) * (4 * width + 3));
  for (let rows = -2 * height - 1; rows <= 2 * height + 1; rows++)
    for (let columns = -2 * width - 1; columns <= 2 * width + 1; columns++) {
      if (rows === 0 && columns === 0) continue;
      const isNext = (rows === 0 && Math.abs(columns) === width) || (columns === 0 && Math.abs(rows) === height);
      tryCopy((row, column) => [row + rows, column + columns], `copy:${rows},${columns}`, isNext ? 3 : anyMove);
    }
  for (const away of [1, 2]) {
    const choices = 2 + away;
    tryCopy((_, column) => [rectangle.top - away, column], "row-above", choices);
    tryCopy((_, column) => [rectangle.bottom + away, column], "row-below", choices);
    tryCopy((row) => [row, rectangle.left - away], "column-left", choices);
    tryCopy((row) => [row, rectangle.right + away], "column-right", choices);
  }
  return stories;
}
