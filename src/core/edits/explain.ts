import type { Edit } from "../result/index.ts";
import { columnsOf, resampleLike, rowsOf, sameAxes, type Table } from "../tables/index.ts";
import { type Comparison, compareCells } from "./comparison.ts";
import { partStories } from "./part-of-table.ts";
import { scatteredStories } from "./scattered.ts";
import { smoothingStories } from "./smoothing.ts";
import type { Story } from "./story.ts";
import { wholeTableStories } from "./whole-table.ts";
import { sentence, sentenceOfAxes } from "./words.ts";

/**
 * What was done to one table, told by the shortest description that rebuilds it from its reference.
 *
 * Every kind of edit is a story with a length in bits: the kind, its numbers and place, and what it leaves unexplained, counted in the
 * table's own rounding steps. A story that names one act (a factor, a patch …) must explain all but a few cells; where none does, the
 * table was reshaped. Cells are compared in canonical units; digits lost in printing or in another unit are never an edit.
 */
export function explainEdit(table: Table, reference: Table): Edit {
  const name = { table: table.title, role: table.role };
  if (!sameAxes(table, reference)) return explainOtherAxes(table, reference);
  const c = compareCells(table, reference, reference.cells);
  if (c.changed.length === 0) return { ...name, kind: "unchanged", cells: 0, summary: sentence(table, c, undefined) };
  const story = shortestStory(c);
  return { ...name, ...numbersOf(story, c), kind: story.kind, cells: c.changed.length, summary: sentence(table, c, story) };
}

/** The story that wins on cells of the same axes; at least one cell must have changed. */
export function shortestStory(c: Comparison): Story {
  if (c.received.length === 1) return singleValueStory(c);
  const stories = [...wholeTableStories(c), ...partStories(c), ...scatteredStories(c), ...smoothingStories(c)];
  const n = c.received.length;
  const allowed = n < 20 ? 0 : Math.floor(0.02 * n);
  return stories.filter((s) => s.kind === "smoothed" || s.unexplained <= allowed).reduce((best, s) => (s.bits < best.bits ? s : best));
}

/** One number has no shape: it was set to zero, multiplied, or where it was zero, raised. */
function singleValueStory(c: Comparison): Story {
  const [value, before] = [c.received[0]!, c.reference[0]!];
  if (value === 0) return { kind: "zeroed", by: 0, bits: 0, unexplained: 0 };
  if (before === 0) return { kind: "offset", by: value, bits: 0, unexplained: 0 };
  const factor = value / before;
  const spread = (0.5 * c.step + c.printed[0]!) / Math.abs(before);
  return { kind: "scaled", by: roundTo(factor, Math.min(1e-3, Math.max(spread * 0.1, 1e-6))), bits: 0, unexplained: 0 };
}

function roundTo(value: number, unit: number): number {
  const digits = Math.max(0, Math.ceil(-Math.log10(unit)));
  return Number(value.toFixed(digits));
}

function numbersOf(story: Story, c: Comparison): Pick<Edit, "by" | "region"> {
  const rectangle = story.rectangle;
  const whole = { top: 0, left: 0, bottom: c.rows - 1, right: c.columns - 1 };
  const region = rectangle ?? whole;
  return {
    ...(story.by === undefined ? {} : { by: story.by }),
    region: [
      [region.top, region.left],
      [region.bottom, region.right],
    ],
  };
}

/** Axes differ: the reference is looked up at the table's own breakpoints, and what differs beyond that is said. */
function explainOtherAxes(table: Table, reference: Table): Edit {
  const resampled = resampleLike(reference, table);
  const onOwnAxes: Table = { ...reference, x: table.x, y: table.y, cells: resampled, format: table.format };
  const c = compareCells(table, onOwnAxes, resampled);
  const looser = { ...c, tolerance: c.tolerance.map((t) => t + c.step / 2) };
  const moved = Array.from(table.cells.keys()).filter((i) => Math.abs(table.cells[i]! - resampled[i]!) > looser.tolerance[i]!);
  const story = moved.length === 0 ? undefined : shortestStory({ ...looser, changed: moved });
  return {
    table: table.title,
    role: table.role,
    kind: "axes-changed",
    cells: moved.length,
    ...(story?.by === undefined ? {} : { by: story.by }),
    summary: sentenceOfAxes(table, reference, { ...looser, changed: moved }, story),
    region: [
      [0, 0],
      [rowsOf(table) - 1, columnsOf(table) - 1],
    ],
  };
}
