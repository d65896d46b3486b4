import type { Correction, Suspect } from "../core/result/index.ts";
import { formatNumber } from "../drawing/index.ts";
import type { Context } from "./context.ts";
import { bullets, htmlTable, paragraph, text } from "./html.ts";
import type { ChangeRecord, ReportModel } from "./model.ts";
import { cautionHtml, page, type Section } from "./page.ts";
import { sweepPicture } from "./pictures/sweeps.ts";
import { differences, isCurve, isGrid, tableProfile } from "./pictures/tables.ts";
import { contextFor, type ReportOptions } from "./report.ts";
import { roleName } from "./sections/corrections.ts";
import { ambientText, bestPulls } from "./sections/pulls.ts";
import { faultName, shown, titleBlock, vehicleName } from "./sections/title.ts";
import { type FaultText, lower, sentence } from "./texts/index.ts";

/** Height of a panel of the power picture: two of them share a page with the words. */
const PANEL_PX = 96;
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
function faultsToTell({ model }: Context): readonly Suspect[] {
  return model.result.suspects.filter((suspect) => suspect.fault !== "healthy" && suspect.probability >= WORTH_SAYING);
}

function faultText({ texts }: Context, fault: string): FaultText | undefined {
  return (texts.faults as Readonly<Record<string, FaultText | undefined>>)[fault];
}

function foundSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  const { findings } = model.result;
  const of = (severity: "stop" | "fix"): string[] => findings.filter((finding) => finding.severity === severity).map((finding) => sentence(finding.summary));
  const [stops, fixes] = [of("stop"), of("fix")];
  const faults = faultsToTell(context).map((suspect) =>
    t.suspected(texts.likelihood(suspect.probability), faultText(context, suspect.fault)?.owner ?? sentence(faultName(context, suspect.fault))),
  );
  const healthy = faults.length === 0 && model.result.recordings.length > 0 ? texts.faults.healthy.owner : "";
  const found = model.handover?.found ?? faults;
  const stopped = stops.length === 0 ? "" : paragraph(t.stopFirst, "strong") + bullets(stops);
  const fixed = fixes.length === 0 ? "" : paragraph(t.calibration(fixes.length)) + bullets(fixes);
  const isEmpty = found.length + stops.length + fixes.length === 0;
  return { id: "found", heading: t.found, lead: isEmpty ? healthy || t.foundNothing : healthy, blocks: [stopped + bullets(found) + fixed] };
}

/** What is to be repaired still; what was fitted stands with what was done. */
function partsSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  const given = model.handover?.parts?.map((part) => ({ ...part, act: "" }));
  const parts =
    given ??
    faultsToTell(context).map(({ fault }) => {
      const told = faultText(context, fault);
      return { part: told?.part ?? "–", why: faultName(context, fault), act: told?.remedy ?? "", quality: told?.part === undefined ? "–" : told.quality };
    });
  if (parts.length === 0) return { id: "parts", heading: t.parts, lead: t.partsNone, blocks: [], isVoid: true };
  const rows = parts.map((part) => [text(part.part), text(part.why), ...(given === undefined ? [text(part.act)] : []), text(part.quality ?? t.partsQuality)]);
  const heads = [t.partHeads.part, t.partHeads.why, ...(given === undefined ? [t.partHeads.act] : []), t.partHeads.quality];
  return { id: "parts", heading: t.parts, lead: "", blocks: [htmlTable({ caption: t.parts, heads, rows })] };
}

/** In a job of the book: what its revisions changed, what was fitted and tested. Without one: what is offered. */
function doneSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  const isJob = model.changes !== undefined;
  const offered = model.result.corrections.filter((correction) => correction.heldBecause === undefined);
  const tables = isJob
    ? changedTables(context)
    : offered.map((correction) => t.corrected(roleName(correction.role), formatNumber(correction.meanAbsChangePercent, 1)));
  const work = [
    ...(model.fitted ?? []).map((used) => t.fitted(used.part, used.quality)),
    ...(model.tested ?? []).map((done) => t.tested(done.test, done.outcome)),
  ];
  const done = model.handover?.done ?? work;
  const lead = tables.length === 0 ? "" : isJob ? t.changedLead(model.about?.revision ?? "") : t.proposedLead;
  const first = offered
    .filter((correction) => !isJob || model.changes?.some((change) => change.role === correction.role))
    .map((correction) => model.corrections?.find((detail) => detail.role === correction.role))
    .find((detail) => detail !== undefined && (isGrid(detail.after) || isCurve(detail.after)));
  const picture = first === undefined ? "" : correctionFigure(context, first);
  const words = bullets(done) + (tables.length === 0 ? "" : paragraph(lead) + bullets(tables));
  return { id: "done", heading: t.done, lead: tables.length === 0 ? t.doneNothing : "", blocks: [words + picture], isVoid: done.length + tables.length === 0 };
}

/** Each table that revisions changed, once: what it is good for, or the reason that was given where a hand set it. */
function changedTables({ model, texts }: Context): string[] {
  const t = texts.owner;
  const changes = model.changes ?? [];
  const nameOf = ({ table, role }: ChangeRecord): string => (role === undefined ? table : roleName(role));
  return [...new Set(changes.map(nameOf))].map((name) => {
    const own = changes.filter((change) => nameOf(change) === name);
    const cells = Math.max(...own.map((change) => change.cells ?? 0));
    const reasons = [...new Set(own.filter((change) => change.isByHand === true && change.reason !== "").map((change) => change.reason))];
    const purpose = reasons.length > 0 ? t.byHand(reasons.join("; ")) : (t.purposes[own[0]?.role ?? ""] ?? "");
    return t.changed(name, cells, purpose);
  });
}

function correctionFigure(context: Context, detail: NonNullable<ReportModel["corrections"]>[number]): string {
  const change = differences(context, detail.before, detail.after);
  const caption = context.texts.corrections.profileCaptionPlain(detail.after.title, change.largest, change.where);
  return context.figures(tableProfile(context, { before: detail.before, after: detail.after }, { caption, heightPx: 280 }));
}

/** What was held back, fault by fault, and in a job of the book what was offered and not taken. */
function notDoneSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  const held = model.result.corrections.filter((correction) => correction.heldBecause !== undefined);
  const faults = [...new Set(held.map((correction) => correction.heldBecause!))];
  const names = (corrections: readonly Correction[]): string =>
    texts.list(corrections.map(({ role }, i) => (i === 0 ? roleName(role) : lower(roleName(role)))));
  const heldBack = faults.map((fault) => {
    const tables = held.filter((correction) => correction.heldBecause === fault);
    return t.heldBack(names(tables), tables.length, faultName(context, fault));
  });
  const changed = new Set(model.changes?.map((change) => change.role));
  const open = model.changes === undefined ? [] : model.result.corrections.filter(({ role, heldBecause }) => heldBecause === undefined && !changed.has(role));
  const notTaken = open.length === 0 ? [] : [t.notTaken(names(open))];
  const items = (model.handover?.notDone ?? [...heldBack, ...notTaken]).map((item) => t.because(item.what, item.why));
  return { id: "not-done", heading: t.notDone, lead: "", blocks: items.length === 0 ? [] : [bullets(items)] };
}

function powerSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  const { pulls } = model.result;
  if (pulls.length === 0) return { id: "power", heading: t.power, lead: "", blocks: [] };
  const best = bestPulls(pulls);
  const figures = (share: number): [string, string] => [
    shown(context, best.power.peakPowerKw / share, "kW", 0),
    shown(context, best.torque.peakTorqueNm / share, "Nm", 0),
  ];
  const { standard, factor, ambient, beyondLimits } = best.power;
  const lead = t.powerText(...figures(1), standard, formatNumber(factor, 3), ambient === undefined ? "" : ambientText(context, ambient));
  const peaks = {
    power: { rpm: best.power.peakPowerRpm, value: best.power.peakPowerKw },
    torque: { rpm: best.torque.peakTorqueRpm, value: best.torque.peakTorqueNm },
  };
  const plain = (model.sweeps ?? []).map(({ file, rpm, powerKw, torqueNm }) => ({ file, rpm, powerKw, torqueNm }));
  const picture = sweepPicture(context, plain, t.powerCaption(pulls.length), peaks, PANEL_PX);
  const said = [
    ...(beyondLimits === undefined ? [] : [t.powerBeyond(...figures(factor))]),
    ...(model.gains ?? []).map((gain) => t.powerGain(gain.to, gain.from, gain.summary)),
  ].map((words) => paragraph(words));
  return { id: "power", heading: t.power, lead, blocks: [said.join("") + (picture === undefined ? "" : context.figures(picture))] };
}

function watchSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.owner;
  // What is to be watched in tables is the workshop's business.
  const watched = model.result.findings
    .filter((finding) => finding.severity === "watch" && finding.tables.length === 0)
    .map((finding) => sentence(finding.summary));
  const ethanol = model.intake.fuel?.ethanolPercentVolume;
  const told = ethanol === undefined ? undefined : ethanol === 0 ? t.noEthanol : texts.facts.ethanol(formatNumber(ethanol, 0));
  const fuel = model.handover?.fuel ?? told;
  const contact = model.handover?.contact === undefined ? "" : paragraph(`${t.contact}: ${model.handover.contact}`);
  return {
    id: "watch",
    heading: t.watch,
    lead: "",
    blocks: [bullets([...(model.handover?.watch ?? watched), ...t.watchAlways]) + (fuel === undefined ? "" : paragraph(t.fuelText(fuel))) + contact],
  };
}

function readSection({ texts }: Context): Section {
  const { law, owner } = texts.cautions;
  return { id: "please-read", heading: texts.owner.legal, lead: "", blocks: [owner, law].map(cautionHtml) };
}
