import type { Correction } from "../../core/result/index.ts";
import { ROLES, type Role, type Table } from "../../core/tables/index.ts";
import { extent, formatNumber } from "../../drawing/index.ts";
import type { Context } from "../context.ts";
import { bullets, paragraph, text } from "../html.ts";
import type { CorrectionDetail } from "../model.ts";
import { numbersHtml } from "../numbers-table.ts";
import { aside, cautionHtml, row, type Section } from "../page.ts";
import { differenceField, differences, isGrid, tableProfile, valueField } from "../pictures/tables.ts";
import { sentence } from "../texts/index.ts";
import { faultName } from "./title.ts";

/** Corrected tables: sentence, profile, field before and after, and how sure. Held ones apart. */
export function correctionsSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.corrections;
  const heading = texts.sections.corrections;
  const { corrections } = model.result;
  if (corrections.length === 0) return { id: "corrections", heading, lead: t.none, blocks: [], isVoid: true };
  const offered = corrections.filter((correction) => correction.heldBecause === undefined);
  const held = corrections.filter((correction) => correction.heldBecause !== undefined);
  const offeredBlocks = offered.flatMap((correction) => entry(context, correction));
  const heldBlocks = held.flatMap((correction) => entry(context, correction));
  if (heldBlocks.length > 0) heldBlocks[0] = `<div class="entry"><h3>${text(t.held)}</h3>${paragraph(t.heldLead)}</div>${heldBlocks[0]}`;
  const blocks = [...offeredBlocks, ...heldBlocks, cautionHtml(texts.cautions.writing)];
  return { id: "corrections", heading, lead: offered.length === 0 ? "" : t.lead, blocks };
}

/** A role in words; a role that is not known stands for itself. */
export function roleName(role: string): string {
  return Object.hasOwn(ROLES, role) ? ROLES[role as Role].name : role;
}

/** Words with the first picture; further pictures; the figures behind them. */
function entry(context: Context, correction: Correction): string[] {
  const { model, texts } = context;
  const t = texts.corrections;
  const detail = model.corrections?.find((candidate) => candidate.role === correction.role);
  const title = detail?.after.title ?? roleName(correction.role);
  const stats = t.stats(correction.cellsChanged, correction.cellsCovered, formatNumber(correction.meanAbsChangePercent, 1));
  const held = correction.heldBecause === undefined ? "" : paragraph(t.heldBecause(faultName(context, correction.heldBecause)));
  const limited = correction.limited === undefined || correction.limited.length === 0 ? "" : `<h4>${text(t.limited)}</h4>${bullets(correction.limited)}`;
  const margin = aside([
    [texts.edits.role, correction.role],
    [t.sheet, correction.sheet],
    [t.confidence, correction.confidence],
  ]);
  const level = correction.heldBecause === undefined ? "h3" : "h4";
  const words = `<${level}>${text(title)}</${level}>${held}${correction.summary === undefined ? "" : paragraph(sentence(correction.summary))}${paragraph(stats)}${limited}`;
  const [first, ...others] = detail === undefined ? [] : picturesOf(context, detail);
  const numbers = detail === undefined ? [] : [numbersHtml(context, detail.before, detail.after)];
  return [`<div class="entry">${row(words, margin)}${first ?? ""}</div>`, ...others, ...numbers];
}

function picturesOf(context: Context, detail: CorrectionDetail): string[] {
  const t = context.texts.corrections;
  const { before, after, deviationPercent } = detail;
  const change = differences(context, before, after);
  const caption =
    deviationPercent === undefined
      ? t.profileCaptionPlain(after.title, change.largest, change.where)
      : t.profileCaption(after.title, change.largest, change.where);
  const folded = context.figures(tableProfile(context, { before, after }, { caption, deviationPercent }));
  if (!isGrid(after)) return [folded];
  const range = extent(before.cells, after.cells);
  const solidity = solidityOf(detail);
  const count = (level: (solid: number) => boolean): number => solidity?.filter(level).length ?? 0;
  const sure = count((solid) => solid === 3);
  const some = count((solid) => solid === 1 || solid === 2);
  const fieldCaption = solidity === undefined ? t.fieldCaptionPlain(change.changed, after.cells.length) : t.fieldCaption(sure, some, after.cells.length);
  const wide = context.figures(differenceField(context, { before, after }, { caption: fieldCaption, solidity }));
  const value = (table: Table, words: string) => valueField(context, table, { caption: words, widthPx: 470, heightPx: 330, range });
  return [folded, wide, context.figures(value(before, t.beforeCaption(before.title)), value(after, t.afterCaption(after.title)))];
}

/** 0 not seen … 3 sure, by the deviation of each cell; without deviations, by whether it was seen at all. */
function solidityOf({ deviationPercent, seen, after }: CorrectionDetail): Float64Array | undefined {
  if (deviationPercent === undefined && seen === undefined) return undefined;
  return Float64Array.from(after.cells, (_, i) => {
    if (seen !== undefined && !(seen[i]! > 0)) return 0;
    if (deviationPercent === undefined) return 3;
    const percent = deviationPercent[i]!;
    if (!Number.isFinite(percent)) return 0;
    return percent > 3 ? 1 : percent > 1 ? 2 : 3;
  });
}
