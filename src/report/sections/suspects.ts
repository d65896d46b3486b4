import type { Evidence, Suspect } from "../../core/result/index.ts";
import { formatNumber, unitAfter } from "../../drawing/index.ts";
import type { Context } from "../context.ts";
import { bullets, htmlTable, paragraph, text } from "../html.ts";
import type { NextTest } from "../model.ts";
import { cautionHtml, type Section } from "../page.ts";
import { evidenceStrip } from "../pictures/strips.ts";
import { capital, sentence } from "../texts/index.ts";
import { storyPicture } from "./recordings.ts";
import { faultName, sizeText } from "./title.ts";

/** Below it a suspect is told in one line with the others. */
const WORTH_TELLING = 0.03;
const MOST_TOLD = 4;
/** Pieces of evidence told for the leading suspect; the others get three. All of them stand in the result. */
const MOST_EVIDENCE = 6;

/** Competing stories by probability, each with what speaks for and against it. */
export function suspectsSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.suspects;
  const heading = texts.sections.suspects;
  const suspects = [...model.result.suspects].sort((a, b) => b.probability - a.probability);
  if (suspects.length === 0 || model.result.recordings.length === 0) return { id: "suspects", heading, lead: t.none, blocks: [], isVoid: true };
  const worth = suspects.filter((suspect, i) => i === 0 || suspect.probability >= WORTH_TELLING);
  const told = worth.slice(0, MOST_TOLD);
  const blocks = [scoreboard(context, worth, suspects), ...told.flatMap((suspect, i) => entry(context, suspect, i === 0)), ...testsHtml(context)];
  return { id: "suspects", heading, lead: t.lead, blocks, severity: suspects[0]!.fault === "healthy" ? undefined : "fix" };
}

function scoreboard(context: Context, worth: readonly Suspect[], all: readonly Suspect[]): string {
  const { texts } = context;
  const t = texts.suspects;
  const rows = worth.map((suspect, i) => [
    text(faultName(context, suspect.fault)),
    `<span class="lot${i === 0 ? " lead" : ""}"><i style="width:${(suspect.probability * 100).toFixed(1)}%"></i></span>`,
    text(texts.percent(suspect.probability)),
    text(texts.likelihood(suspect.probability)),
  ]);
  const rest = all.slice(worth.length);
  const sum = rest.reduce((total, suspect) => total + suspect.probability, 0);
  const table = htmlTable({
    caption: texts.sections.suspects,
    heads: [t.heads.story, "", t.heads.probability, t.heads.words],
    rows,
    numeric: [2],
    className: "lots",
  });
  return table + (rest.length === 0 ? "" : paragraph(t.rest(rest.length, texts.percent(sum)), "small"));
}

function entry(context: Context, suspect: Suspect, isLeading: boolean): string[] {
  const { texts } = context;
  const t = texts.suspects;
  const title = `${faultName(context, suspect.fault)}: ${texts.likelihood(suspect.probability)}, ${texts.percent(suspect.probability)}`;
  const sizes = (suspect.sizes ?? []).map((size) => paragraph(sizeSentence(context, size)));
  const side = (heading: string, evidence: readonly Evidence[]): string => `<div><h4>${text(heading)}</h4>${evidenceList(context, evidence, isLeading)}</div>`;
  const mechanical = isLeading && suspect.fault === "healthy" ? paragraph(t.healthyEntry) : "";
  const head = `<div class="entry"><h3>${text(title)}</h3>${sizes.join("")}${mechanical}<div class="${suspect.against.length === 0 ? "one" : "two"}">${side(t.for, suspect.for)}${side(t.against, suspect.against)}</div></div>`;
  // Figures are numbered as they are made: in the order of the page.
  const stories = storyFigures(context, suspect);
  const strips = isLeading && suspect.fault !== "healthy" ? evidencePictures(context, suspect) : [];
  const next = suspect.next === undefined || suspect.next === "" ? "" : nextHtml(context, suspect.next);
  return [head, ...stories, ...strips, next];
}

/** The suspect's stories: the first wide, two more beside each other. */
function storyFigures(context: Context, suspect: Suspect): string[] {
  const [first, ...others] = (context.model.stories ?? []).filter((story) => story.fault === suspect.fault);
  if (first === undefined) return [];
  const wide = context.figures(storyPicture(context, first));
  const pair = others.slice(0, 2);
  return [wide, context.figures(...pair.map((story) => storyPicture(context, story, pair.length > 1 ? 470 : undefined)))];
}

function sizeSentence(context: Context, size: NonNullable<Suspect["sizes"]>[number]): string {
  const { measures, texts } = context;
  const measure = measures(size.unit);
  const [low, high] = [measure.of(size.low), measure.of(size.high)];
  const half = Math.abs(high - low) / 2;
  const decimals = half > 0 ? Math.min(3, Math.max(0, 1 - Math.floor(Math.log10(half)))) : 2;
  const between = texts.suspects.between(formatNumber(low, decimals), unitAfter(formatNumber(high, decimals), measure.symbol));
  return texts.suspects.size(capital(size.name), sizeText(context, size), between);
}

function evidenceList(context: Context, evidence: readonly Evidence[], isLeading: boolean): string {
  const t = context.texts.suspects;
  if (evidence.length === 0) return paragraph(t.nothing, "small");
  const items = evidence.slice(0, isLeading ? MOST_EVIDENCE : 3).map((piece) => {
    const where =
      piece.recording === undefined || piece.fromS === undefined || piece.toS === undefined
        ? ""
        : ` <span class="small">${text(t.span(piece.recording, clock(piece.fromS), clock(piece.toS)))}</span>`;
    return `<li>${text(piece.text)}${where}</li>`;
  });
  return `<ul class="evidence">${items.join("")}</ul>`;
}

/** "12.5 s" in the first minutes, "7:05" later, as a player would show it. */
function clock(seconds: number): string {
  if (seconds < 120) return `${formatNumber(seconds, 1)} s`;
  return `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;
}

function evidencePictures(context: Context, suspect: Suspect): string[] {
  const t = context.texts.suspects;
  const spans: Evidence[] = [];
  for (const piece of suspect.for)
    if (
      piece.recording !== undefined &&
      piece.fromS !== undefined &&
      piece.toS !== undefined &&
      spans.length < 2 &&
      !spans.some((other) => overlaps(other, piece))
    )
      spans.push(piece);
  return spans.flatMap((piece) => {
    const trace = context.model.traces?.find((candidate) => candidate.file === piece.recording);
    if (trace === undefined) return [];
    const span = { fromS: piece.fromS!, toS: piece.toS!, label: shortened(piece.text) };
    const picture = evidenceStrip(
      context,
      trace,
      span,
      suspect.fault,
      t.evidenceCaption(capital(piece.text.replace(/\.$/, "")), t.span(piece.recording!, clock(piece.fromS!), clock(piece.toS!))),
    );
    return picture === undefined ? [] : [context.figures(picture)];
  });
}

function overlaps(one: Evidence, other: Evidence): boolean {
  return one.recording === other.recording && one.fromS! < other.toS! && other.fromS! < one.toS!;
}

function shortened(words: string): string {
  return words.length <= 72 ? words : `${words.slice(0, 70).replace(/\s+\S*$/, "")} …`;
}

/** The suspect's next test as the result words it, and the cautions of the test that the words leave out. */
function nextHtml(context: Context, next: string): string {
  const t = context.texts.suspects;
  const known = context.model.tests?.find((test) => next.toLowerCase().includes(test.title.toLowerCase()));
  const cautions = (known?.cautions ?? []).filter((line) => !next.includes(line.replace(/\.$/, "")));
  return `<div class="test"><h4>${text(t.next)}</h4>${paragraph(sentence(next))}${bullets(cautions, "small")}</div>`;
}

function testHtml(context: Context, test: NextTest): string {
  const t = context.texts.suspects;
  const minutes = test.minutes === undefined ? "" : `, ${t.minutes(test.minutes)}`;
  const words = `<p><strong>${text(test.title)}</strong>${text(minutes)}</p>${paragraph(test.how ?? "")}${paragraph(test.tells ?? "")}`;
  return `<div class="test"><h4>${text(t.tests)}</h4>${words}${bullets(test.cautions ?? [], "small")}</div>`;
}

/** Tests that no suspect has named above. */
function testsHtml(context: Context): string[] {
  const { model, texts } = context;
  const named = model.result.suspects.map((suspect) => (suspect.next ?? "").toLowerCase());
  const others = (model.tests ?? []).filter((test) => !named.some((next) => next.includes(test.title.toLowerCase()))).slice(0, 2);
  return [...others.map((test) => testHtml(context, test)), cautionHtml(texts.cautions.road)];
}
