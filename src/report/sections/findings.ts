import type { Finding, Severity } from "../../core/result/index.ts";
import type { Table } from "../../core/tables/index.ts";
import { type Picture, severityMark } from "../../drawing/index.ts";
import type { Context } from "../context.ts";
import { bullets, paragraph, text } from "../html.ts";
import { aside, cautionHtml, type Section } from "../page.ts";
import { chainFor } from "../pictures/chains.ts";
import { isCurve, isGrid, onSameAxes, tableProfile } from "../pictures/tables.ts";
import { capital } from "../texts/index.ts";

export const SEVERITIES: readonly Severity[] = ["stop", "fix", "watch", "note"];

/** What must stop, at the head of everything. */
export function stopsSection(context: Context): Section {
  const { model, texts } = context;
  const stops = model.result.findings.filter((finding) => finding.severity === "stop");
  const blocks = stops.map((finding) => findingHtml(context, finding, ""));
  if (cautionsOfLoad(context)) blocks.push(cautionHtml(texts.cautions.load));
  return { id: "stop-first", heading: texts.sections.stops, lead: stops.length === 0 ? "" : texts.stops.lead, blocks, severity: "stop", className: "stops" };
}

/** Whether the cautions of high load stand at the head already. */
export function cautionsOfLoad({ model }: Context): boolean {
  return model.result.findings.some(({ severity, check }) => severity === "stop" && /lean|knock|full-load|over-mechanical|pull|delivery|duty/.test(check));
}

/** Findings from the gravest, each with its picture unless the page has shown it. */
export function findingsSection(context: Context): Section {
  const { model, texts } = context;
  const { findings, edits } = model.result;
  const t = texts.findings;
  const heading = texts.sections.findings;
  if (findings.length === 0) return { id: "contradictions", heading, lead: edits.length === 0 ? t.noTables : t.none, blocks: [], isVoid: true };
  const sorted = [...findings].sort((a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity));
  const counts = SEVERITIES.map((severity) => [severity, findings.filter((finding) => finding.severity === severity).length] as const).filter(([, n]) => n > 0);
  const lead = t.lead(texts.list(counts.map(([severity, n]) => t.bySeverity[severity](n))));
  const drawnChains = new Set<string>();
  const blocks = sorted.map((finding) => findingHtml(context, finding, pictureOf(context, finding, drawnChains), finding.severity === "stop"));
  return { id: "contradictions", heading, lead, blocks, severity: sorted[0]!.severity };
}

/** @param isTold  its evidence and what to do stand at the head of the report */
function findingHtml(context: Context, finding: Finding, picture: string, isTold = false): string {
  const { texts } = context;
  const t = texts.findings;
  const seen = finding.tables.map((title) => context.figureOfTable.get(title)).filter((n) => n !== undefined);
  const see = picture === "" && seen.length > 0 ? t.see(texts.figure(seen[0]!)) : undefined;
  const margin = aside([
    [t.tables, finding.tables.join("; ")],
    [t.check, finding.check],
    ["", see],
  ]);
  const head = `<div class="sev">${severityMark(finding.severity)}<span>${text(texts.severities[finding.severity])}</span></div>`;
  const act = finding.do === "" ? "" : `<p class="do"><span>${text(t.act)}</span><span>${text(finding.do)}</span></p>`;
  return `<div class="finding">${head}<div><h3>${text(capital(finding.summary))}</h3>${isTold ? paragraph(t.toldFirst(texts.sections.stops), "small") : bullets(finding.because) + act}</div>${margin}</div>${picture}`;
}

function pictureOf(context: Context, finding: Finding, drawnChains: Set<string>): string {
  const chain = drawnChains.has(finding.check.split(".")[0]!) ? undefined : chainFor(context, finding.check);
  if (chain !== undefined) {
    drawnChains.add(finding.check.split(".")[0]!);
    return context.figures(chain);
  }
  if (finding.tables.some((title) => context.figureOfTable.has(title))) return "";
  if (finding.severity === "note") return "";
  const drawable = finding.tables
    .map((title) => context.model.asReceived?.find((table) => table.title === title))
    .filter((table): table is Table => table !== undefined && (isCurve(table) || isGrid(table)));
  const pictures = drawable.slice(0, 2).map((table) => receivedProfile(context, table, drawable.length > 1 ? 470 : 960));
  return context.figures(...pictures);
}

/** A table as it came in, with the factory's behind it where there is one. */
function receivedProfile(context: Context, table: Table, widthPx: number): Picture {
  const t = context.texts.findings;
  const reference = referenceOf(context, table);
  context.figureOfTable.set(table.title, context.nextFigure());
  const caption = reference === undefined ? t.alone(table.title) : t.profileCaption(table.title);
  return tableProfile(context, { after: table, before: reference }, { caption, widthPx, heightPx: 260 });
}

/** The factory's table for one as received: by role, else by title; brought to the same breakpoints. */
export function referenceOf(context: Context, table: Table): Table | undefined {
  const candidates = context.model.reference ?? [];
  const found =
    (table.role === undefined ? undefined : candidates.find((other) => other.role === table.role)) ?? candidates.find((other) => other.title === table.title);
  if (found === undefined || (found.x === undefined) !== (table.x === undefined) || (found.y === undefined) !== (table.y === undefined)) return undefined;
  return onSameAxes(table, found);
}
