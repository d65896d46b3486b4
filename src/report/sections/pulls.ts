import type { PullResult } from "../../core/result/index.ts";
import { formatNumber } from "../../drawing/index.ts";
import type { Context } from "../context.ts";
import { bullets, facts, htmlTable, text } from "../html.ts";
import { cautionHtml, type Section } from "../page.ts";
import { sweepPicture } from "../pictures/sweeps.ts";
import { capital } from "../texts/index.ts";
import { shown } from "./title.ts";

/** Full-load sweeps: figures with their standard, factor, ambient values and smoothing, and the picture of all of them. */
export function pullsSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.pulls;
  const heading = texts.sections.pulls;
  const { pulls } = model.result;
  if (pulls.length === 0) return { id: "pulls", heading, lead: t.none, blocks: [], isVoid: true };
  const best = bestPulls(pulls);
  const sweeps = model.sweeps ?? [];
  const picture = sweepPicture(context, sweeps, captionOf(context, best), {
    power: { rpm: best.power.peakPowerRpm, value: best.power.peakPowerKw },
    torque: { rpm: best.torque.peakTorqueRpm, value: best.torque.peakTorqueNm },
  });
  const lead = pulls.length < 2 ? t.lead(pulls.length) : `${t.lead(pulls.length)} ${t.scatter(scatterPercent(pulls))}`;
  const drawn = picture === undefined ? "" : context.figures(picture);
  const blocks = [drawn, ...pullsFigures(context), cautionHtml(texts.cautions.pulls), cautionHtml(texts.cautions.load)];
  return { id: "pulls", heading, lead, blocks };
}

/** The figures of all sweeps, and how each was reckoned. */
export function pullsFigures(context: Context): string[] {
  const { pulls } = context.model.result;
  return [pullsTable(context, pulls), conditions(context, pulls)];
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

function ambientText(context: Context, ambient: NonNullable<PullResult["ambient"]>): string {
  return context.texts.pulls.ambient(
    shown(context, ambient.pressureKpa, "kPa", 1),
    shown(context, ambient.temperatureC, "°C", 1),
    formatNumber(ambient.relativeHumidityPercent, 0),
    ambient.source,
  );
}

function pullsTable(context: Context, pulls: readonly PullResult[]): string {
  const { heads } = context.texts.pulls;
  const { measures } = context;
  const [power, torque] = [measures("kW"), measures("Nm")];
  const rows = pulls.map((pull) => [
    text(pull.file),
    text(pull.standard),
    formatNumber(pull.factor, 4),
    formatNumber(power.of(pull.peakPowerKw), 1),
    formatNumber(pull.peakPowerRpm, 0),
    formatNumber(torque.of(pull.peakTorqueNm), 1),
    formatNumber(pull.peakTorqueRpm, 0),
  ]);
  const names = [
    heads.file,
    heads.standard,
    heads.factor,
    `${heads.power} [${power.symbol}]`,
    `${heads.at} [rpm]`,
    `${heads.torque} [${torque.symbol}]`,
    `${heads.at} [rpm]`,
  ];
  return `<div class="entry">${htmlTable({ caption: context.texts.sections.pulls, heads: names, rows, numeric: [2, 3, 4, 5, 6] })}</div>`;
}

/** What all sweeps share is said once; smoothing and remarks stand by the sweep they belong to. */
function conditions(context: Context, pulls: readonly PullResult[]): string {
  const t = context.texts.pulls;
  const ambients = [...new Set(pulls.map((pull) => pull.ambient && ambientText(context, pull.ambient)).filter((words) => words !== undefined))];
  const notes = pulls
    .map((pull) => ({ file: pull.file, lines: [pull.smoothing, ...(pull.remarks ?? [])].filter((line): line is string => line !== undefined && line !== "") }))
    .filter((note) => note.lines.length > 0)
    .map((note) => `<div class="keep"><h4>${text(note.file)}</h4>${bullets(note.lines.map(capital), "small")}</div>`);
  return facts([[t.ambientLabel, ambients.join("; ")]]) + (notes.length === 0 ? "" : `<div class="entry"><h3>${text(t.remarks)}</h3>${notes.join("")}</div>`);
}
