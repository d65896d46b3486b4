import type { Table } from "./table.ts";

/** Mantissas of the steps that controllers and people round to; binary fractions come in beside them. */
const DECIMAL_MANTISSAS = [5, 2.5, 2, 1.25, 1] as const;
const EIGHT_BIT_SHARES = [1 / 255, 100 / 255, 100 / 256, 90 / 256, 14.7 / 128] as const;

/** A grid that values lie on: `value = offset + n · size`, in the table's own (canonical) unit. */
export interface Step {
  readonly size: number;
  readonly offset: number;
}

/**
 * By how much the sheet's printed digits leave a cell open [table's unit]: half of the last digit of six significant ones.
 * When `byDecimals` the sheet's own number of decimals is taken where it is coarser, as it must be when two sheets are written in different units.
 */
export function printedSlack(table: Table, cell: number, byDecimals = false): number {
  const scale = Math.abs(table.format?.scale ?? 1);
  const native = Math.abs((table.cells[cell]! - (table.format?.offset ?? 0)) / (table.format?.scale ?? 1));
  const sixDigits = native === 0 ? 0 : 0.5 * 10 ** (Math.floor(Math.log10(native)) - 5);
  const decimals = byDecimals && table.format !== undefined ? 0.5 * 10 ** -table.format.decimals : 0;
  return Math.max(sixDigits, decimals) * scale * 1.02 + 1e-12;
}

/**
 * Coarsest plausible rounding step of the cells of one or more tables of one role [table's unit].
 *
 * Tries decimal and binary steps in the canonical unit and in each sheet's own unit, from coarse to fine, and takes the first on
 * which every value lies within the printed digits. Few distinct values can lie on a coarse step by accident: with m distinct
 * values a step that is q times too coarse passes with a chance of q^−m, so the step is made finer until that chance is below 2 %.
 */
export function roundingStep(tables: readonly Table[]): Step {
  const values: number[] = [];
  const slack: number[] = [];
  const seen = new Set<number>();
  for (const table of tables)
    for (let i = 0; i < table.cells.length; i++) {
      const value = table.cells[i]!;
      if (!Number.isFinite(value) || seen.has(value)) continue;
      seen.add(value);
      values.push(value);
      slack.push(printedSlack(table, i));
    }
  if (values.length === 0) return { size: 1, offset: 0 };
  const largestSlack = Math.max(...slack);
  const span = Math.max(...values.map(Math.abs), largestSlack);
  let best: Step | undefined;
  for (const { scale, offset } of unitsOf(tables)) {
    const shifted = values.map((v) => v - offset);
    const size = coarsestOn(shifted, slack, scale, span, largestSlack);
    if (size !== undefined && (best === undefined || size > best.size * 1.0001)) best = { size, offset };
  }
  if (best === undefined) return { size: Math.max(4 * largestSlack, span * 1e-6), offset: 0 };
  const tooCoarse = Math.max(1, Math.floor(50 ** (1 / values.length)));
  return { size: best.size / tooCoarse, offset: best.offset };
}

function unitsOf(tables: readonly Table[]): { scale: number; offset: number }[] {
  const units = [{ scale: 1, offset: 0 }];
  for (const { format } of tables) {
    if (format === undefined || units.some((u) => u.scale === Math.abs(format.scale) && u.offset === format.offset)) continue;
    units.push({ scale: Math.abs(format.scale), offset: format.offset });
  }
  return units;
}

function coarsestOn(values: readonly number[], slack: readonly number[], scale: number, span: number, largestSlack: number): number | undefined {
  for (const size of candidateSteps(scale, span)) {
    if (size < 4 * largestSlack) return undefined;
    if (values.every((v, i) => Math.abs(v - Math.round(v / size) * size) <= slack[i]! + 1e-9 * size)) return size;
  }
  return undefined;
}

/** Steps from coarse to fine, none coarser than the largest value. */
function candidateSteps(scale: number, span: number): number[] {
  const steps: number[] = [];
  const decades = Math.ceil(Math.log10(span / scale));
  for (let decade = decades; decade > decades - 8; decade--) for (const mantissa of DECIMAL_MANTISSAS) steps.push(mantissa * 10 ** decade * scale);
  for (let power = 0; power <= 14; power++) steps.push(2 ** -power * scale, 100 * 2 ** -power * scale);
  for (const share of EIGHT_BIT_SHARES) steps.push(share * scale);
  return steps.filter((s) => s <= span * 1.0001).sort((a, b) => b - a);
}
