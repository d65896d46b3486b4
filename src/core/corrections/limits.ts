import { clamp } from "../../base/index.ts";
import { isotonicFit } from "../statistics/index.ts";
import type { CellFormat, Table } from "../tables/index.ts";
import type { CellChange, CorrectionDefinition } from "./define.ts";

/**
 * How many of its own deviations a change must be worth to pass the largest step of one round whole; up to how many it does not pass at all. Between
 * them it passes in part, so that neighbours do not part where the doubt of one is a little greater.
 * @source RT-30 (common practice)
 */
const CLEAR_CHANGE = 3;
const DOUBTFUL_CHANGE = 1.5;

export interface LimitedCells {
  readonly cells: Float64Array;
  readonly limited: readonly string[];
}

/**
 * Cells held to what one round may change: a step above the largest only where it is clear beyond its own doubt; rising or
 * falling where physics says so; no cell that turns into nonsense.
 */
export function limitCells(definition: CorrectionDefinition, before: Table, change: CellChange): LimitedCells {
  const limited: string[] = [...(change.limited ?? [])];
  const cells = Float64Array.from(change.cells);
  let cut = 0;
  for (let k = 0; k < cells.length; k++) {
    const from = before.cells[k]!;
    if (!Number.isFinite(cells[k]!)) cells[k] = from;
    if (!(from > 0) || !Number.isFinite(definition.largestStep)) continue;
    const step = cells[k]! / from - 1;
    const sd = change.sdKind === "relative" ? change.sd[k]! : change.sd[k]! / from;
    if (Math.abs(step) <= definition.largestStep || Math.abs(step) >= CLEAR_CHANGE * sd) continue;
    const passes = clamp((Math.abs(step) / sd - DOUBTFUL_CHANGE) / (CLEAR_CHANGE - DOUBTFUL_CHANGE), 0, 1);
    cells[k] = from * (1 + Math.sign(step) * (definition.largestStep + passes * (Math.abs(step) - definition.largestStep)));
    cut++;
  }
  if (cut > 0)
    limited.push(
      `${cut} ${cut === 1 ? "cell" : "cells"} held at or near a change of ${Math.round(100 * definition.largestStep)} %: the data ask for more but are not sure of it`,
    );
  const monotone = monotoneCells(definition, before, cells, change.sd);
  if (monotone !== undefined)
    limited.push(`${monotone.moved} ${monotone.moved === 1 ? "cell" : "cells"} levelled so that the curve keeps ${definition.monotone}`);
  return { cells: monotone?.cells ?? cells, limited };
}

/** Levelled along x where the curve as received had the asked direction and the corrected one has not. */
function monotoneCells(
  definition: CorrectionDefinition,
  before: Table,
  cells: Float64Array,
  sd: Float64Array,
): { cells: Float64Array; moved: number } | undefined {
  if (definition.monotone === undefined || before.y !== undefined) return undefined;
  const sign = definition.monotone === "rising" ? 1 : -1;
  const isOrdered = (values: Float64Array): boolean => values.every((v, k) => k === 0 || sign * v >= sign * values[k - 1]!);
  if (!isOrdered(before.cells) || isOrdered(cells)) return undefined;
  const fitted = isotonicFit(
    cells.map((v) => sign * v),
    sd.map((s) => 1 / Math.max(s * s, 1e-12)),
  ).map((v) => sign * v);
  return { cells: fitted, moved: fitted.reduce((count, v, k) => count + (v === cells[k] ? 0 : 1), 0) };
}

/** Cells as the table's sheet can write them. */
export function roundToFormat(cells: Float64Array, format: CellFormat | undefined): Float64Array {
  if (format === undefined) return cells;
  const step = 10 ** format.decimals;
  const rounded = (native: number): number => Math.round(native * step) / step;
  if (format.isReciprocal === true) return cells.map((cell) => format.scale / rounded(format.scale / cell));
  return cells.map((cell) => rounded((cell - format.offset) / format.scale) * format.scale + format.offset);
}
