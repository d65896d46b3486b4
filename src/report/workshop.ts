import { formatNumber, severityMark } from "../drawing/index.ts";
import type { Context } from "./context.ts";
import { htmlTable, text } from "./html.ts";
import type { ReportModel } from "./model.ts";
import { cautionHtml, page, type Section } from "./page.ts";
import { contextFor, type ReportOptions } from "./report.ts";
import { couldNotSection, filesSection } from "./sections/closing.ts";
import { comebackSection, leftSection } from "./sections/comeback.ts";
import { roleName } from "./sections/corrections.ts";
import { SEVERITIES } from "./sections/findings.ts";
import { checklistBlocks, gainsBlocks, pullsFigures } from "./sections/pulls.ts";
import { faultName, sizeText, summary, titleBlock, vehicleName } from "./sections/title.ts";
import { capital } from "./texts/index.ts";

/** The sheet that stays in the workshop: every change with its reason, the figures, the files by hash, and who signed. */
export function renderWorkshopSheet(model: ReportModel, options: ReportOptions = {}): string {
  const context = contextFor(model, options);
  const { texts } = context;
  const sections: Section[] = [
    comebackSection(context),
    changesSection(context),
    receivedSection(context),
    findingsTable(context),
    suspectsTable(context),
    pullsSheet(context),
    leftSection(context),
    couldNotSection(context),
    {
      id: "before-you-go-on",
      heading: texts.sections.cautions,
      lead: "",
      blocks: [texts.cautions.first, texts.cautions.writing, texts.cautions.law].map(cautionHtml),
    },
    signatures(context),
    filesSection(context),
  ];
  return page({
    title: `${vehicleName(context)}: ${texts.title.workshop.toLowerCase()}`,
    footer: [vehicleName(context), texts.title.workshop, model.about?.date].filter((part) => part !== undefined).join(" · "),
    header: titleBlock(context, texts.title.workshop, summary(context)),
    sections,
    texts,
    fonts: options.fonts ?? {},
    theme: options.theme,
  });
}

/** The recorded changes; without a record of hands, the corrections as they were proposed. */
function changesSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.workshop;
  const heading = t.changes;
  const recorded = (model.changes ?? []).map((change) => [
    text(change.table),
    text(change.what),
    text(change.reason),
    text([change.by, change.on].filter((part) => part !== undefined).join(", ")),
  ]);
  const proposed = model.result.corrections.map((correction) => [
    text(roleName(correction.role)),
    text(t.proposed(correction.cellsChanged, formatNumber(correction.meanAbsChangePercent, 1))),
    text(correction.heldBecause === undefined ? capital(correction.summary ?? t.fromRecordings) : t.heldReason(faultName(context, correction.heldBecause))),
    `<span class="hash">${text(correction.sheet)}</span>`,
  ]);
  const rows = model.changes === undefined ? proposed : recorded;
  if (rows.length === 0) return { id: "changes", heading, lead: t.changesNone, blocks: [], isVoid: true };
  const heads = [t.heads.table, t.heads.what, t.heads.reason, model.changes === undefined ? texts.corrections.sheet : t.heads.by];
  return { id: "changes", heading, lead: "", blocks: [htmlTable({ caption: heading, heads, rows })] };
}

function receivedSection({ model, texts }: Context): Section {
  const t = texts.workshop;
  const changed = model.result.edits.filter((edit) => edit.kind !== "unchanged");
  const heads = [t.receivedHeads.table, t.receivedHeads.kind, t.receivedHeads.summary];
  const rows = changed.map((edit) => [text(edit.table), text(texts.kinds[edit.kind] ?? edit.kind), text(capital(edit.summary))]);
  const lead = model.result.edits.length === 0 ? texts.edits.none : changed.length === 0 ? texts.edits.untouched : "";
  return { id: "as-received", heading: t.received, lead, blocks: rows.length === 0 ? [] : [htmlTable({ caption: t.received, heads, rows })] };
}

function findingsTable({ model, texts }: Context): Section {
  const t = texts.workshop;
  const sorted = [...model.result.findings].sort((a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity));
  if (sorted.length === 0) return { id: "findings", heading: t.findings, lead: texts.findings.none, blocks: [], isVoid: true };
  const heads = [t.findingHeads.severity, t.findingHeads.summary, t.findingHeads.act];
  const rows = sorted.map((finding) => [
    `<span class="sev">${severityMark(finding.severity)}${text(texts.severities[finding.severity])}</span>`,
    `${text(capital(finding.summary))}${[...finding.because, finding.check].map((line) => `<div class="small">${text(line)}</div>`).join("")}`,
    text(finding.do),
  ]);
  return { id: "findings", heading: t.findings, lead: "", blocks: [htmlTable({ caption: t.findings, heads, rows })], severity: sorted[0]!.severity };
}

function suspectsTable(context: Context): Section {
  const { model, texts } = context;
  const t = texts.workshop;
  const likely = [...model.result.suspects].sort((a, b) => b.probability - a.probability).filter((suspect, i) => i === 0 || suspect.probability >= 0.03);
  if (model.result.recordings.length === 0) return { id: "suspects", heading: t.suspects, lead: texts.suspects.none, blocks: [], isVoid: true };
  const { heads } = texts.suspects;
  const rows = likely.map((suspect) => [
    text(faultName(context, suspect.fault)),
    text(texts.percent(suspect.probability)),
    text(suspect.sizes === undefined ? "" : suspect.sizes.map((size) => `${size.name} ${sizeText(context, size)}`).join("; ")),
    text(suspect.next ?? ""),
  ]);
  return {
    id: "suspects",
    heading: t.suspects,
    lead: "",
    blocks: [htmlTable({ caption: t.suspects, heads: [heads.story, heads.probability, t.sizeHead, texts.suspects.next], rows, numeric: [1] })],
  };
}

function pullsSheet(context: Context): Section {
  const blocks = context.model.result.pulls.length === 0 ? [] : [...pullsFigures(context), ...gainsBlocks(context, false), ...checklistBlocks(context)];
  return { id: "pulls", heading: context.texts.sections.pulls, lead: "", blocks };
}

function signatures({ texts }: Context): Section {
  const t = texts.workshop;
  return {
    id: "signatures",
    heading: t.signatures,
    lead: "",
    blocks: [`<div class="sign">${t.signed.map((who) => `<div>${text(who)}</div>`).join("")}</div>`],
  };
}
