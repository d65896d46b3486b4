import type { PullResult } from "../../core/result/index.ts";
import { formatNumber, formatSigned, type Picture } from "../../drawing/index.ts";
import type { Context } from "../context.ts";
import { bullets, facts, htmlTable, paragraph, text } from "../html.ts";
import type { SweepDetail, SweepGain } from "../model.ts";
import { cautionHtml, type Section } from "../page.ts";
import { gainPicture, sweepPicture } from "../pictures/sweeps.ts";
import { capital } from "../texts/index.ts";
import { cautionsOfLoad } from "./findings.ts";
import { shown } from "./title.ts";

/** Full-load sweeps: figures with their standard, factor, ambient values and smoothing, and the picture of all of them. */
export function pullsSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.pulls;
  const heading = texts.sections.pulls;
  const { pulls } = model.result;
  if (pulls.length === 0) return { id: "pulls", heading, lead: t.none, blocks: [], isVoid: true };
  const picture = seriesPicture(context, model.sweeps ?? [], pulls);
  const lead = pulls.length < 2 ? t.lead(pulls.length) : `${t.lead(pulls.length)} ${t.scatter(scatterPercent(pulls))}`;
  const drawn = picture === undefined ? "" : context.figures(picture);
  const blocks = [drawn, ...pullsFigures(context), ...gainsBlocks(context, true), ...checklistBlocks(context)];
  const cautions = cautionsOfLoad(context) ? [texts.cautions.pulls] : [texts.cautions.pulls, texts.cautions.load];
  return { id: "pulls", heading, lead, blocks: [...blocks, ...cautions.map(cautionHtml)] };
}

/** Height of the panels of power and torque. */
const MAIN_PX = 150;

/** Power, torque and what was recorded with them, of the sweeps of one calibration. */
export function seriesPicture(context: Context, sweeps: readonly SweepDetail[], pulls: readonly PullResult[]): Picture | undefined {
  if (pulls.length === 0) return undefined;
  const best = bestPulls(pulls);
  return sweepPicture(
    context,
    sweeps,
    captionOf(context, best),
    {
      power: { rpm: best.power.peakPowerRpm, value: best.power.peakPowerKw },
      torque: { rpm: best.torque.peakTorqueRpm, value: best.torque.peakTorqueNm },
    },
    MAIN_PX,
  );
}

/** The figures of all sweeps, how well they repeat, and how each was reckoned. */
export function pullsFigures(context: Context): string[] {
  const { pulls } = context.model.result;
  return [pullsTable(context, pulls), conditions(context, pulls)];
}

/** Whether the calibrations differ by more than scatter; nothing where sweeps of one calibration alone are at hand. */
export function gainsBlocks(context: Context, isDrawn: boolean): string[] {
  const { model, texts } = context;
  const t = texts.pulls;
  const gains = model.gains ?? [];
  if (gains.length === 0) return [];
  const percent = (value: number): string => `${formatSigned(value, 1)} %`;
  const rows = gains.flatMap((gain) =>
    gain.measures.map((measure) => [
      text(gain.from),
      text(gain.to),
      text(t.measures[measure.measure]),
      text(percent(measure.differencePercent)),
      text(t.interval95(percent(measure.lowPercent), percent(measure.highPercent))),
      text(t.verdicts[measure.verdict]),
    ]),
  );
  const { from, to, measure, difference, interval, verdict } = t.gainHeads;
  const table = rows.length === 0 ? "" : htmlTable({ caption: t.gains, heads: [from, to, measure, difference, interval, verdict], rows, numeric: [3, 4] });
  const said = gains.map((gain) => [t.gainCaption(gain.from, gain.to, gain.summary), ...gain.remarks.map(capital)].join(" "));
  const words = `<div class="entry"><h3>${text(t.gains)}</h3>${bullets(said)}${paragraph(t.gainsLead, "small")}${table}</div>`;
  const figures = isDrawn ? gains.map((gain) => gainFigure(context, gain)) : [];
  return [words, ...figures.filter((figure) => figure !== "")];
}

function gainFigure(context: Context, gain: SweepGain): string {
  const series = context.model.series ?? [];
  const [from, to] = [series.find(({ name }) => name === gain.from), series.find(({ name }) => name === gain.to)];
  if (from === undefined || to === undefined) return "";
  const picture = gainPicture(context, from, to, gain, context.texts.pulls.gainCaption(gain.from, gain.to, gain.summary));
  return picture === undefined ? "" : context.figures(picture);
}

/** The list before the pulls as it was ticked; nothing where nobody used it. */
export function checklistBlocks({ model, texts }: Context): string[] {
  const t = texts.pulls;
  const items = model.checklist ?? [];
  const ticked = items.filter((item) => item.ticked);
  if (ticked.length === 0) return [];
  const rows = items.map(({ item, ticked: isTicked, at, by }) => [text(item), text(isTicked ? (at ?? "") : t.notTicked), text(isTicked ? (by ?? "") : "")]);
  const heads = [t.checklistHeads.item, t.checklistHeads.ticked, t.checklistHeads.by];
  const table = htmlTable({ caption: t.checklist, heads, rows, className: "list" });
  return [`<div class="entry"><h3>${text(t.checklist)}</h3>${paragraph(t.checklistLead(ticked.length, items.length))}${table}</div>`];
}

export function bestPulls(pulls: readonly PullResult[]): { power: PullResult; torque: PullResult } {
  return {
    power: pulls.reduce((top, pull) => (pull.peakPowerKw > top.peakPowerKw ? pull : top)),
    torque: pulls.reduce((top, pull) => (pull.peakTorqueNm > top.peakTorqueNm ? pull : top)),
  };
}

function scatterPercent(pulls: readonly PullResult[]): string {
  const powers = pulls.map((pull) => pull.peakPowerKw);
  return formatNumber((Math.max(...powers) / Math.min(...powers) - 1) * 100, 1);
}

function captionOf(context: Context, best: ReturnType<typeof bestPulls>): string {
  const t = context.texts.pulls;
  const power = context.texts.pictures.peak(shown(context, best.power.peakPowerKw, "kW", 1), `${formatNumber(best.power.peakPowerRpm, 0)} rpm`);
  const torque = context.texts.pictures.peak(shown(context, best.torque.peakTorqueNm, "Nm", 1), `${formatNumber(best.torque.peakTorqueRpm, 0)} rpm`);
  const standard = `${best.power.standard}, ${t.heads.factor.toLowerCase()} ${formatNumber(best.power.factor, 4)}`;
  const ambient = best.power.ambient ?? context.model.result.pulls.find((pull) => pull.ambient !== undefined)?.ambient;
  return t.caption(power, torque, standard, ambient === undefined ? "" : `; ${ambientText(context, ambient)}`);
}

export function ambientText(context: Context, ambient: NonNullable<PullResult["ambient"]>): string {
  return context.texts.pulls.ambient(
    shown(context, ambient.pressureKpa, "kPa", 1),
    shown(context, ambient.temperatureC, "°C", 1),
    formatNumber(ambient.relativeHumidityPercent, 0),
    ambient.source,
  );
}

function pullsTable(context: Context, pulls: readonly PullResult[]): string {
  const t = context.texts.pulls;
  const { heads } = t;
  const { measures } = context;
  const [power, torque] = [measures("kW"), measures("Nm")];
  const isBeyond = pulls.some((pull) => pull.beyondLimits !== undefined);
  const rows = pulls.map((pull) => [
    text(shortFile(pull.file)),
    text(pull.standard),
    `${formatNumber(pull.factor, 4)}${pull.beyondLimits === undefined ? "" : ` ${t.beyondMark}`}`,
    formatNumber(power.of(pull.peakPowerKw), 1),
    ...(isBeyond ? [formatNumber(power.of(pull.peakPowerKw / pull.factor), 1)] : []),
    formatNumber(pull.peakPowerRpm, 0),
    formatNumber(torque.of(pull.peakTorqueNm), 1),
    ...(isBeyond ? [formatNumber(torque.of(pull.peakTorqueNm / pull.factor), 1)] : []),
    formatNumber(pull.peakTorqueRpm, 0),
  ]);
  const names = [
    heads.file,
    heads.standard,
    heads.factor,
    `${heads.power} [${power.symbol}]`,
    ...(isBeyond ? [t.asMeasured] : []),
    `${heads.at} [rpm]`,
    `${heads.torque} [${torque.symbol}]`,
    ...(isBeyond ? [t.asMeasured] : []),
    `${heads.at} [rpm]`,
  ];
  const numeric = names.map((_, i) => i).slice(2);
  const beyond = [...new Set(pulls.map((pull) => pull.beyondLimits).filter((why) => why !== undefined))].map((why) => paragraph(t.beyond(why), "small"));
  return `<div class="entry">${htmlTable({ caption: context.texts.sections.pulls, heads: names, rows, numeric })}${beyond.join("")}</div>`;
}

/** "pulls/sweep-1.csv" is "sweep-1" among sweeps. */
function shortFile(file: string): string {
  return file.replace(/^pulls\//, "").replace(/\.csv$/i, "");
}

/** What all sweeps share is said once; what belongs to one of them stands by it. */
function conditions(context: Context, pulls: readonly PullResult[]): string {
  const t = context.texts.pulls;
  const ambients = [...new Set(pulls.map((pull) => pull.ambient && ambientText(context, pull.ambient)).filter((words) => words !== undefined))];
  const shared = (pulls[0]?.remarks ?? []).filter((line) => !isSaidAbove(line) && pulls.every((pull) => pull.remarks?.includes(line) === true));
  const notes = pulls.map((pull) => {
    const own = [pull.smoothing, ...(pull.remarks ?? []).filter((line) => !shared.includes(line) && !isSaidAbove(line))];
    return { file: shortFile(pull.file), lines: own.filter((line): line is string => line !== undefined && line !== "") };
  });
  const reckoned = [...(shared.length === 0 ? [] : [{ file: t.ofAll, lines: shared }]), ...notes.filter((note) => note.lines.length > 0)].map(
    (note) => `<div class="keep"><h4>${text(note.file)}</h4>${bullets(note.lines.map(capital), "small")}</div>`,
  );
  const repeats = (context.model.series ?? []).map(({ name, repeats: words }) => t.named(name, words));
  const told = facts([
    [t.ambientLabel, ambients.join("; ")],
    [t.flywheel, flywheelText(context, pulls)],
  ]);
  const repeated = repeats.length === 0 ? "" : `<div class="entry"><h3>${text(t.repeats)}</h3>${bullets(repeats)}</div>`;
  return told + repeated + (reckoned.length === 0 ? "" : `<div class="entry"><h3>${text(t.remarks)}</h3>${reckoned.join("")}</div>`);
}

/** Limits of the standard stand beneath the table already. */
function isSaidAbove(line: string): boolean {
  return /is outside its limits|is beyond 7 %/.test(line);
}

function flywheelText(context: Context, pulls: readonly PullResult[]): string | undefined {
  const figures = pulls.map((pull) => pull.flywheel).filter((one) => one !== undefined);
  if (figures.length === 0) return undefined;
  const power = figures.reduce((top, one) => (one.peakPowerKw > top.peakPowerKw ? one : top));
  const torque = figures.reduce((top, one) => (one.peakTorqueNm > top.peakTorqueNm ? one : top));
  return context.texts.pulls.flywheelText(shown(context, power.peakPowerKw, "kW", 0), shown(context, torque.peakTorqueNm, "Nm", 0), power.basis);
}
