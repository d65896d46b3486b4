import { columnsOf, rowsOf, type Table } from "../core/tables/index.ts";
import { decimalsOf, extent, formatNumber, formatSigned } from "../drawing/index.ts";
import type { Context } from "./context.ts";
import { text } from "./html.ts";
import { differences, tableMeasure } from "./pictures/tables.ts";

/** What a printed page leaves beside the row's own breakpoint, a figure's width and a cell's padding [pt]; more columns go on below. */
const PAGE_PT = 450;
const FIGURE_PT = 4.3;
const PADDING_PT = 6.5;

/** The figures behind a picture: new values, and below each the change where there is one. */
export function numbersHtml(context: Context, before: Table | undefined, after: Table): string {
  const { texts } = context;
  const measure = tableMeasure(context, after);
  const columns = columnsOf(after);
  const parts = Math.ceil(widthPt(context, after) / PAGE_PT);
  const perPart = Math.ceil(columns / parts);
  const tables = Array.from({ length: parts }, (_, part) => numbersPart(context, before, after, part * perPart, Math.min(columns, (part + 1) * perPart)));
  return `<details class="grid"><summary>${text(`${texts.corrections.numbers}: ${after.title}`)}</summary><p class="small">${text(texts.corrections.numbersNote(measure.symbol))}</p>${tables.join("")}</details>`;
}

function numbersPart(context: Context, before: Table | undefined, after: Table, from: number, to: number): string {
  const columns = columnsOf(after);
  const { values, decimals } = shownCells(context, after);
  const change = before === undefined ? undefined : differences(context, before, after);
  const largest = Math.max(...(extent(change?.cells) ?? [0, 0]).map(Math.abs));
  const xs = axisTexts(context, after.x);
  const ys = axisTexts(context, after.y);
  const head = `<tr><th scope="col" class="corner">${text(corner(context, after))}</th>${xs
    .slice(from, to)
    .map((value) => `<th scope="col">${value}</th>`)
    .join("")}</tr>`;
  const rows = Array.from({ length: rowsOf(after) }, (_, row) => {
    const cells = Array.from({ length: to - from }, (_, k) => {
      const at = row * columns + from + k;
      const moved = change?.cells[at] ?? 0;
      const value = values[at]!;
      if (moved === 0 || !Number.isFinite(moved)) return `<td>${value}</td>`;
      const step = Math.max(1, Math.min(3, Math.ceil((3 * Math.abs(moved)) / largest)));
      return `<td class="t-${moved < 0 ? "l" : "m"}${step}"><b>${value}</b><small>${formatSigned(moved, change!.isRelative ? 1 : decimals)}</small></td>`;
    });
    return `<tr><th scope="row">${ys[row] ?? ""}</th>${cells.join("")}</tr>`;
  });
  return `<div class="scroll"><table class="numbers"><thead>${head}</thead><tbody>${rows.join("")}</tbody></table></div>`;
}

/** Width of all columns in print, each as wide as its longest figure [pt]. */
function widthPt(context: Context, table: Table): number {
  const columns = columnsOf(table);
  const { values } = shownCells(context, table);
  const heads = axisTexts(context, table.x);
  const longest = Array.from({ length: columns }, (_, column) =>
    Math.max(heads[column]?.length ?? 0, ...values.filter((_, at) => at % columns === column).map((value) => value.length)),
  );
  return longest.reduce((sum, length) => sum + FIGURE_PT * length + PADDING_PT, 0);
}

/** Cells as they are printed, with the decimals they are printed to. */
function shownCells(context: Context, table: Table): { readonly values: readonly string[]; readonly decimals: number } {
  const values = tableMeasure(context, table).all(table.cells);
  const decimals = Math.min(3, decimalsOf(values, values.some((value) => Math.abs(value) >= 10) ? 1 : 3));
  return { values: Array.from(values, (value) => formatNumber(value, decimals)), decimals };
}

function corner(context: Context, table: Table): string {
  const named = (axis: Table["x"], arrow: string): string => (axis === undefined ? "" : `${axis.name} [${context.measures(axis.unit).symbol}] ${arrow}`);
  return [named(table.y, "↓"), named(table.x, "→")].filter((part) => part !== "").join(" ");
}

function axisTexts(context: Context, axis: Table["x"]): string[] {
  if (axis === undefined) return [""];
  const values = context.measures(axis.unit).all(axis.values);
  const decimals = Math.min(2, decimalsOf(values, 2));
  return Array.from(values, (value) => formatNumber(value, decimals));
}
