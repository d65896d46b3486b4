import { formatNumber } from "../drawing/index.ts";
import type { Context } from "./context.ts";
import { bullets, htmlTable, paragraph, text } from "./html.ts";
import type { ReportModel } from "./model.ts";
import { cautionHtml, page, type Section } from "./page.ts";
import { sweepPicture } from "./pictures/sweeps.ts";
import { differences, isCurve, isGrid, tableProfile } from "./pictures/tables.ts";
import { contextFor, type ReportOptions } from "./report.ts";
import { roleName } from "./sections/corrections.ts";
import { bestPulls } from "./sections/pulls.ts";
import { faultName, shown, titleBlock, vehicleName } from "./sections/title.ts";
import { sentence } from "./texts/index.ts";

/** Probability from which an owner is told of a fault. */
const WORTH_SAYING = 0.3;

/** The page that goes home with the vehicle: plain words, few pictures, what to watch. */
export function renderOwnerReport(model: ReportModel, options: ReportOptions = {}): string {
  const context = contextFor(model, options);
  const { texts } = context;
  const sections: Section[] = [
    foundSection(context),
    partsSection(context),
    doneSection(context),
    notDoneSection(context),
    powerSection(context),
    watchSection(context),
    readSection(context),
  ];
  return page({
    title: `${vehicleName(context)}: ${texts.title.owner.toLowerCase()}`,
    footer: [vehicleName(context), texts.title.owner, model.about?.date].filter((part) => part !== undefined).join(" · "),
    header: titleBlock(context, texts.title.owner, texts.owner.lead(model.intake.complaint), true),
    sections,
    texts,
    fonts: options.fonts ?? {},
    theme: options.theme,
  });
}

/** Suspects that an owner should hear of. */
function faultsToTell({ model }: Context): string[] {
  return model.result.suspects.filter((suspect) => suspect.fault !== "healthy" && suspect.probability >= WORTH_SAYING).map((suspect) => suspect.fault);
}

function faultText({ texts }: Context, fault: string): { owner: string; remedy: string } | undefined {
  return (texts.faults as Readonly<Record<string, { owner: string; remedy: string } | undefined>>)[fault];
}

function foundSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  const grave = model.result.findings
    .filter((finding) => finding.severity === "stop" || finding.severity === "fix")
    .map((finding) => sentence(finding.summary));
  const faults = faultsToTell(context).map((fault) => faultText(context, fault)?.owner ?? faultName(context, fault));
  const found = model.handover?.found ?? [...faults, ...grave];
  const healthy = faults.length === 0 && model.result.recordings.length > 0 ? texts.faults.healthy.owner : "";
  return { id: "found", heading: t.found, lead: found.length === 0 ? healthy || t.foundNothing : faults.length === 0 ? healthy : "", blocks: [bullets(found)] };
}

function partsSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  const parts =
    model.handover?.parts ??
    faultsToTell(context).map((fault) => ({
      part: faultText(context, fault)?.remedy ?? faultName(context, fault),
      why: faultName(context, fault),
      quality: undefined,
    }));
  if (parts.length === 0) return { id: "parts", heading: t.parts, lead: t.partsNone, blocks: [], isVoid: true };
  const rows = parts.map((part) => [text(part.part), text(part.why), text(part.quality ?? t.partsQuality)]);
  return {
    id: "parts",
    heading: t.parts,
    lead: "",
    blocks: [htmlTable({ caption: t.parts, heads: [t.partHeads.part, t.partHeads.why, t.partHeads.quality], rows })],
  };
}

function doneSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  const offered = model.result.corrections.filter((correction) => correction.heldBecause === undefined);
  const done = model.handover?.done ?? offered.map((correction) => t.corrected(roleName(correction.role), formatNumber(correction.meanAbsChangePercent, 1)));
  const first = offered
    .map((correction) => model.corrections?.find((detail) => detail.role === correction.role))
    .find((detail) => detail !== undefined && (isGrid(detail.after) || isCurve(detail.after)));
  const picture = first === undefined ? "" : correctionFigure(context, first);
  return { id: "done", heading: t.done, lead: done.length === 0 ? t.doneNothing : "", blocks: [bullets(done) + picture], isVoid: done.length === 0 };
}

function correctionFigure(context: Context, detail: NonNullable<ReportModel["corrections"]>[number]): string {
  const change = differences(context, detail.before, detail.after);
  const caption = context.texts.corrections.profileCaptionPlain(detail.after.title, change.largest, change.where);
  return context.figures(tableProfile(context, { before: detail.before, after: detail.after }, { caption, heightPx: 280 }));
}

function notDoneSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  const held = model.result.corrections.filter((correction) => correction.heldBecause !== undefined);
  const notDone = model.handover?.notDone ?? held.map((correction) => t.heldBack(roleName(correction.role), faultName(context, correction.heldBecause!)));
  const items = notDone.map((item) => t.because(item.what, item.why));
  return { id: "not-done", heading: t.notDone, lead: "", blocks: items.length === 0 ? [] : [bullets(items)] };
}

function powerSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  const { pulls } = model.result;
  if (pulls.length === 0) return { id: "power", heading: t.power, lead: "", blocks: [] };
  const best = bestPulls(pulls);
  const [power, torque] = [shown(context, best.power.peakPowerKw, "kW", 0), shown(context, best.torque.peakTorqueNm, "Nm", 0)];
  const lead = t.powerText(power, torque, best.power.standard, formatNumber(best.power.factor, 3));
  const peaks = {
    power: { rpm: best.power.peakPowerRpm, value: best.power.peakPowerKw },
    torque: { rpm: best.torque.peakTorqueRpm, value: best.torque.peakTorqueNm },
  };
  const plain = (model.sweeps ?? []).map(({ file, rpm, powerKw, torqueNm }) => ({ file, rpm, powerKw, torqueNm }));
  const picture = sweepPicture(context, plain, t.powerCaption(pulls.length), peaks);
  return { id: "power", heading: t.power, lead, blocks: picture === undefined ? [] : [context.figures(picture)] };
}

function watchSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  const watched = model.result.findings.filter((finding) => finding.severity === "watch").map((finding) => sentence(finding.summary));
  const ethanol = model.intake.fuel?.ethanolPercentVolume;
  const fuel = model.handover?.fuel ?? (ethanol === undefined ? undefined : texts.facts.ethanol(formatNumber(ethanol, 0)));
  const contact = model.handover?.contact === undefined ? "" : paragraph(`${t.contact}: ${model.handover.contact}`);
  return {
    id: "watch",
    heading: t.watch,
    lead: "",
    blocks: [bullets([...(model.handover?.watch ?? watched), ...t.watchAlways]) + (fuel === undefined ? "" : paragraph(t.fuelText(fuel))) + contact],
  };
}

function readSection({ texts }: Context): Section {
  const { law, fuel, owner } = texts.cautions;
  return { id: "please-read", heading: texts.owner.legal, lead: "", blocks: [owner, law, fuel].map(cautionHtml) };
}
