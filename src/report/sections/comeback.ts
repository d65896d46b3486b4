import { decimalsFor, formatNumber, formatSigned, shifts, unitAfter } from "../../drawing/index.ts";
import type { Context } from "../context.ts";
import { bullets, htmlTable, paragraph, text } from "../html.ts";
import type { ComebackDetail } from "../model.ts";
import type { Section } from "../page.ts";
import { capital } from "../texts/index.ts";
import { faultName, shown } from "./title.ts";

/** A figure that a sound vehicle stays within, nineteen times of twenty. */
const ORDINARY_SPREADS = 2;
const MOST_DRAWN = 12;
/** A residual that moved less is only drawn. */
const WORTH_A_ROW = 1;
const MOST_SUSPECTS = 3;
const WORTH_TELLING = 0.03;

type MovedFigure = ComebackDetail["moved"][number];

/** What moved since the vehicle left, what that speaks for, and whose tables are in it; left out where no earlier visit is known. */
export function comebackSection(context: Context): Section {
  const { comeback } = context.model;
  const t = context.texts.comeback;
  if (comeback === undefined) return { id: "since-it-left", heading: t.heading, lead: "", blocks: [] };
  const { left, basis } = comeback;
  const blocks = [
    movedPicture(context, comeback),
    suspectsTable(context, comeback),
    tablesHtml(context, comeback),
    conditionsHtml(context, comeback),
    couldNotHtml(context, comeback),
  ];
  const leading = comeback.suspects[0];
  return {
    id: "since-it-left",
    heading: t.heading,
    lead: t.lead(left.job, left.on, revisionText(context, left.revision), basis),
    blocks: blocks.filter((block) => block !== ""),
    severity: leading === undefined || leading.fault === "healthy" ? undefined : "fix",
  };
}

/** How the vehicle leaves: what is kept for the day it comes back. */
export function leftSection(context: Context): Section {
  const { left } = context.model;
  const t = context.texts.comeback;
  if (left === undefined) return { id: "how-it-left", heading: t.left, lead: "", blocks: [] };
  const rows = left.figures.map(({ title, unit, value, scatter, spells }) => [
    text(title),
    text(shown(context, value, unit)),
    text(spells < 2 ? "–" : byText(context, scatter, unit).replace(/^\+/, "")),
    text(t.spells(spells)),
  ]);
  const heads = [t.leftHeads.what, t.leftHeads.value, t.leftHeads.scatter, t.leftHeads.spells];
  return {
    id: "how-it-left",
    heading: t.left,
    lead: t.leftLead(left.on, revisionText(context, left.revision), left.residuals),
    blocks: rows.length === 0 ? [] : [htmlTable({ caption: t.left, heads, rows, numeric: [1, 2] })],
  };
}

function revisionText({ texts }: Context, revision: number): string {
  return revision === 0 ? texts.comeback.asReceived : texts.comeback.revision(revision);
}

function movedPicture(context: Context, { moved }: ComebackDetail): string {
  const t = context.texts.comeback;
  const drawn = moved.slice(0, MOST_DRAWN);
  if (drawn.length === 0) return "";
  const far = moved.filter(({ spreads }) => Math.abs(spreads) > ORDINARY_SPREADS).length;
  const furthest = `${drawn[0]!.title.charAt(0).toLowerCase()}${drawn[0]!.title.slice(1)}`;
  const picture = shifts({
    id: context.pictureId(),
    title: t.figureTitle,
    caption: t.caption(far, moved.length, furthest),
    axis: t.axis,
    ordinary: ORDINARY_SPREADS,
    ordinaryName: t.ordinary,
    shifts: drawn.map(({ title, unit, by, spreads }) => ({ name: title, spreads, says: byText(context, by, unit) })),
  });
  const listed = drawn.filter(({ spreads, atHandover }) => atHandover !== undefined || Math.abs(spreads) >= WORTH_A_ROW);
  return context.figures(picture) + (listed.length === 0 ? "" : movedTable(context, listed));
}

function movedTable(context: Context, moved: readonly MovedFigure[]): string {
  const t = context.texts.comeback;
  const figure = (value: number | undefined, unit: string): string => (value === undefined ? "" : text(shown(context, value, unit)));
  const rows = moved.map(({ title, unit, by, spreads, atHandover, onReturn }) => [
    text(title),
    figure(atHandover, unit),
    figure(onReturn, unit),
    text(byText(context, by, unit)),
    text(formatSigned(spreads, 1)),
  ]);
  const heads = [t.heads.what, t.heads.atHandover, t.heads.onReturn, t.heads.by, t.heads.spreads];
  return htmlTable({ caption: t.heading, heads, rows, numeric: [1, 2, 3, 4] });
}

/** A difference with its sign and unit: of a temperature, degrees without the offset of the scale. */
function byText({ measures }: Context, by: number, unit: string): string {
  const measure = measures(unit);
  const difference = measure.differences([by])[0]!;
  return unitAfter(formatSigned(difference, Math.min(2, decimalsFor(difference, 2))), measure.symbol === "–" ? "" : measure.symbol);
}

function suspectsTable(context: Context, { suspects }: ComebackDetail): string {
  const { texts } = context;
  const t = texts.comeback;
  const worth = suspects.filter(({ probability }, i) => i === 0 || probability >= WORTH_TELLING).slice(0, MOST_SUSPECTS);
  if (worth.length === 0) return "";
  const rows = worth.map((suspect) => [
    text(faultName(context, suspect.fault)),
    text(texts.percent(suspect.probability)),
    text(
      suspect.for
        .slice(0, 2)
        .map((evidence) => evidence.text)
        .join("; "),
    ),
  ]);
  const heads = [t.suspectHeads.fault, t.suspectHeads.probability, t.suspectHeads.because];
  return entry(t.suspects, htmlTable({ caption: t.suspects, heads, rows, numeric: [1] }));
}

function tablesHtml(context: Context, { ours, tables }: ComebackDetail): string {
  const t = context.texts.comeback;
  const says = ours === undefined ? verdictText(context, tables) : t.tablesOurs(revisionText(context, ours));
  const rows = tables.changed.map(({ table, cells, summary }) => [text(table), formatNumber(cells, 0), text(summary)]);
  const heads = [t.changedHeads.table, t.changedHeads.cells, t.changedHeads.summary];
  const changed = rows.length === 0 || ours !== undefined ? "" : htmlTable({ caption: t.tables, heads, rows, numeric: [1] });
  const missing = tables.missing.length === 0 ? "" : paragraph(t.tablesMissing(tables.missing.join(", ")), "small");
  return entry(t.tables, paragraph(says) + changed + missing);
}

function verdictText({ texts }: Context, { verdict, changed, cellsChanged, cells }: ComebackDetail["tables"]): string {
  const t = texts.comeback;
  if (verdict === "not known") return t.tablesUnknown;
  if (verdict === "as the reference again") return t.tablesReference;
  if (verdict === "still ours") return t.tablesStill;
  return verdict === "another calibration" ? t.tablesAnother(cellsChanged, cells) : t.tablesChanged(changed.length, cellsChanged, cells);
}

function conditionsHtml({ texts }: Context, { conditions }: ComebackDetail): string {
  return conditions.length === 0 ? "" : entry(texts.comeback.conditions, bullets(conditions.map(capital), "small"));
}

function couldNotHtml({ texts }: Context, { couldNot }: ComebackDetail): string {
  return couldNot.length === 0 ? "" : entry(texts.comeback.couldNot, bullets(couldNot.map(capital), "small"));
}

function entry(heading: string, body: string): string {
  return `<div class="entry"><h3>${text(heading)}</h3>${body}</div>`;
}
