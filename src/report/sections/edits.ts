import type { Edit } from "../../core/result/index.ts";
import { columnsOf, rowsOf, type Table } from "../../core/tables/index.ts";
import type { Context } from "../context.ts";
import { htmlTable, paragraph, text } from "../html.ts";
import { numbersHtml } from "../numbers-table.ts";
import { aside, row, type Section } from "../page.ts";
import { differenceField, differences, isCurve, isGrid, tableProfile } from "../pictures/tables.ts";
import { sentence } from "../texts/index.ts";
import { referenceOf } from "./findings.ts";

/** Changed tables that get a picture of their own; the rest is told in a line each. */
const MOST_PICTURED = 10;

/** What was done to each table, in a sentence and a picture. */
export function editsSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.edits;
  const heading = texts.sections.edits;
  const { edits } = model.result;
  if (edits.length === 0) return { id: "changed", heading, lead: t.none, blocks: [], isVoid: true };
  const changed = edits.filter((edit) => edit.kind !== "unchanged");
  const unchanged = edits.filter((edit) => edit.kind === "unchanged");
  const unchangedLine = unchanged.length === 0 ? "" : paragraph(t.unchanged(unchanged.length, unchanged.map((edit) => edit.table).join(", ")), "quiet");
  if (changed.length === 0) return { id: "changed", heading, lead: t.untouched, blocks: [unchangedLine] };
  const ranked = [...changed].sort((a, b) => weight(context, b) - weight(context, a));
  const drawable = ranked.filter((edit) => tableOf(context, edit) !== undefined).slice(0, MOST_PICTURED);
  const pictured = ranked.filter((edit) => drawable.includes(edit));
  const others = ranked.filter((edit) => !drawable.includes(edit));
  const rest =
    others.length === 0
      ? ""
      : `<div class="entry"><h3>${text(t.others)}</h3>${htmlTable({
          caption: t.others,
          heads: ["", t.kind, ""],
          rows: others.map((edit) => [text(edit.table), text(texts.kinds[edit.kind] ?? edit.kind), text(edit.summary)]),
        })}</div>`;
  return {
    id: "changed",
    heading,
    lead: t.lead(changed.length, edits.length),
    blocks: [...pictured.flatMap((edit) => entry(context, edit)), rest, unchangedLine],
  };
}

/** Tables that a grave finding names come first, then grids, then curves. */
function weight(context: Context, edit: Edit): number {
  const grave = context.model.result.findings.filter((finding) => finding.tables.includes(edit.table));
  const severity = Math.max(0, ...grave.map((finding) => ({ stop: 40, fix: 30, watch: 20, note: 10 })[finding.severity]));
  const table = tableOf(context, edit);
  return severity + (table === undefined ? 0 : isGrid(table) ? 5 : 3) + Math.min(1, edit.cells / 1000);
}

/** The table as received, when it can be drawn. */
function tableOf(context: Context, edit: Edit): Table | undefined {
  const table = context.model.asReceived?.find((candidate) => candidate.title === edit.table);
  return table !== undefined && (isGrid(table) || isCurve(table)) ? table : undefined;
}

/** Words and pictures in one block, the figures behind them in another. */
function entry(context: Context, edit: Edit): string[] {
  const { texts } = context;
  const t = texts.edits;
  const table = tableOf(context, edit)!;
  const margin = aside([
    [t.kind, texts.kinds[edit.kind] ?? edit.kind],
    [t.role, edit.role ?? t.noRole],
  ]);
  const head = row(`<h3>${text(edit.table)}</h3>${paragraph(sentence(edit.summary))}`, margin);
  const reference = referenceOf(context, table);
  context.figureOfTable.set(table.title, context.nextFigure());
  const numbers = reference !== undefined && isGrid(table) ? [`<div class="screen">${numbersHtml(context, reference, table)}</div>`] : [];
  return [`<div class="entry">${head}${pictures(context, edit, table, reference)}</div>`, ...numbers];
}

function pictures(context: Context, edit: Edit, table: Table, reference: Table | undefined): string {
  const t = context.texts.edits;
  if (reference === undefined) return context.figures(tableProfile(context, { after: table }, { caption: t.captionAlone(table.title), heightPx: 250 }));
  const change = differences(context, reference, table);
  const caption = t.caption(table.title, change.largest, change.where);
  const pair = { after: table, before: reference };
  if (!isGrid(table)) return context.figures(tableProfile(context, pair, { caption, heightPx: 250 }));
  return context.figures(
    tableProfile(context, pair, { caption, widthPx: 470, heightPx: 320 }),
    differenceField(context, pair, { caption: t.fieldCaption(change.changed, table.cells.length), widthPx: 470, heightPx: 320, region: partOf(edit, table) }),
  );
}

/** The region of an edit, unless it is the whole table. */
function partOf(edit: Edit, table: Table): Edit["region"] {
  if (edit.region === undefined) return undefined;
  const [[top, left], [bottom, right]] = edit.region;
  const isWhole = top === 0 && left === 0 && bottom === rowsOf(table) - 1 && right === columnsOf(table) - 1;
  return isWhole ? undefined : edit.region;
}
