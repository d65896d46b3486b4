import { SIGNALS, type SignalId } from "../../core/units/index.ts";
import { coverage, formatSigned, type Picture, story, unitAfter } from "../../drawing/index.ts";
import type { Context } from "../context.ts";
import { htmlTable, text } from "../html.ts";
import type { CoverageDetail, StoryDetail, Trace } from "../model.ts";
import type { Section } from "../page.ts";
import { alignmentPictures } from "../pictures/alignment.ts";
import { wholeStrip } from "../pictures/strips.ts";
import { linesHtml } from "./closing.ts";
import { faultName, minutesText, sizeText, totalMinutes } from "./title.ts";

/** Which recordings came, how long, what they hold, what was mended. */
export function givenSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.given;
  const heading = texts.sections.given;
  const { recordings } = model.result;
  if (recordings.length === 0) return { id: "given", heading, lead: t.none, blocks: [], isVoid: true };
  const rows = recordings.map((recording) => {
    const repairs = recording.repairs.length === 0 ? [t.repairsNone] : recording.repairs;
    const unknown =
      recording.unrecognised.length === 0
        ? ""
        : `<p class="small">${text(t.unrecognised(recording.unrecognised.length, recording.unrecognised.join(", ")))}</p>`;
    return [
      text(recording.file),
      text(minutesText(recording.durationS)),
      String(recording.rows),
      String(Object.keys(recording.signals).length),
      repairs.map((repair) => `<div>${text(repair)}</div>`).join("") + unknown,
    ];
  });
  const { heads } = t;
  const table = htmlTable({ caption: heading, heads: [heads.file, heads.duration, heads.rows, heads.signals, heads.repairs], rows, numeric: [1, 2, 3] });
  return { id: "given", heading, lead: t.lead(recordings.length, totalMinutes(context)), blocks: [table, signalLists(context), remarksHtml(context)] };
}

/** What was taken as read: roles proposed, units assumed. */
function remarksHtml({ model, texts }: Context): string {
  const remarks = model.result.remarks ?? [];
  return remarks.length === 0 ? "" : `<h3>${text(texts.given.remarks)}</h3>${linesHtml(remarks, texts.couldNot.more)}`;
}

function signalLists(context: Context): string {
  const { model, texts } = context;
  const t = texts.given;
  const named = (id: string): string => (Object.hasOwn(SIGNALS, id) ? SIGNALS[id as SignalId].name : id);
  return model.result.recordings
    .filter((recording) => Object.keys(recording.signals).length > 0)
    .map((recording) => {
      const items = Object.entries(recording.signals).map(([id, source]) => `<div><dt>${text(named(id))}</dt><dd>${text(source)}</dd></div>`);
      return `<details class="screen"><summary>${text(`${recording.file}: ${t.signalsLabel.toLowerCase()}`)}</summary><dl class="facts">${items.join("")}</dl></details>`;
    })
    .join("");
}

/** Each recording drawn whole, where the engine was, and residuals that no suspect claims. */
export function recordingsSection(context: Context): Section {
  const { model, texts } = context;
  const t = texts.recordings;
  const heading = texts.sections.recordings;
  const pictures: Picture[] = [
    ...(model.traces ?? []).map((trace) => wholeStrip(context, trace, wholeCaption(context, trace))).filter((picture) => picture !== undefined),
    ...(model.alignments ?? []).flatMap((detail) => alignmentPictures(detail, () => context.pictureId(), texts)),
    ...(model.coverage ?? []).map((detail) => coveragePicture(context, detail)),
    ...(model.stories ?? []).filter((detail) => detail.fault === undefined).map((detail) => storyPicture(context, detail)),
  ];
  if (pictures.length === 0) return { id: "recordings", heading, lead: model.result.recordings.length === 0 ? t.none : "", blocks: [], isVoid: true };
  return { id: "recordings", heading, lead: t.lead, blocks: pictures.map((picture) => context.figures(picture)) };
}

function wholeCaption(context: Context, trace: Trace): string {
  const { texts } = context;
  const t = texts.recordings;
  const counts = new Map<string, number>();
  for (const moment of trace.moments ?? []) counts.set(moment.kind, (counts.get(moment.kind) ?? 0) + 1);
  const told = [...counts].map(([kind, n]) => t.momentCount(n, t.moments[kind] ?? kind));
  const length = (trace.timeS[trace.timeS.length - 1] ?? 0) - (trace.timeS[0] ?? 0);
  return t.wholeCaption(trace.file, minutesText(length), told.length === 0 ? t.noMoments : texts.list(told));
}

function coveragePicture(context: Context, detail: CoverageDetail): Picture {
  const { texts, measures } = context;
  const seen = Array.from(detail.dwellS).filter((dwellS) => dwellS > 0).length;
  const next = detail.next ?? [];
  const caption =
    detail.caption ??
    [texts.recordings.coverageCaption(seen, detail.dwellS.length), next.length > 0 ? texts.recordings.coverageNext(next.length) : ""].join(" ").trim();
  const [mx, my] = [measures(detail.x.unit), measures(detail.y.unit)];
  return coverage({
    id: context.pictureId(),
    title: detail.title,
    caption,
    x: { name: detail.x.name, unit: mx.symbol, values: mx.all(detail.x.values) },
    y: { name: detail.y.name, unit: my.symbol, values: my.all(detail.y.values) },
    dwellS: detail.dwellS,
    next: next.map((spot) => ({ x: mx.of(spot.x), y: my.of(spot.y) })),
    words: texts.pictures,
  });
}

/** Residual against operating point with the curves of the stories; the suspect's own curve leads. */
export function storyPicture(context: Context, detail: StoryDetail, widthPx?: number): Picture {
  const { texts, measures } = context;
  const [mx, my] = [measures(detail.x.unit), measures(detail.y.unit)];
  const curves = (detail.curves ?? []).map((curve, i) => ({
    label: curve.label ?? labelOf(context, detail, curve.fault),
    x: mx.all(curve.x),
    y: my.all(curve.y),
    low: curve.low && my.all(curve.low),
    high: curve.high && my.all(curve.high),
    isLeading:
      detail.fault === undefined ? i === 0 : curve.fault === detail.fault || (i === 0 && !detail.curves!.some((other) => other.fault === detail.fault)),
  }));
  return story({
    id: context.pictureId(),
    title: detail.title,
    widthPx,
    heightPx: widthPx === undefined ? undefined : 280,
    caption: detail.caption ?? (curves.length === 0 ? residualCaption(context, detail) : texts.suspects.storyCaption(detail.title, curves[0]!.label)),
    x: { name: detail.x.name, unit: mx.symbol },
    y: { name: detail.y.name, unit: my.symbol },
    points: { x: mx.all(detail.points.x), y: my.all(detail.points.y), weight: detail.points.weight, sd: detail.points.sd && my.differences(detail.points.sd) },
    curves,
    words: texts.pictures,
  });
}

/** A story's own curve is named by the size it was fitted with, another's by the fault. */
function labelOf(context: Context, detail: StoryDetail, fault: string | undefined): string {
  const size = fault === undefined || fault !== detail.fault ? undefined : context.model.result.suspects.find((suspect) => suspect.fault === fault)?.sizes?.[0];
  if (size !== undefined) return sizeText(context, size);
  return fault === undefined ? detail.title : faultName(context, fault);
}

/** Middle and quartiles of what was seen, each sample by its weight. */
function residualCaption(context: Context, detail: StoryDetail): string {
  const measure = context.measures(detail.y.unit);
  const weighted = Array.from(detail.points.y, (value, i) => ({ value: measure.of(value), weight: detail.points.weight?.[i] ?? 1 }))
    .filter(({ value, weight }) => Number.isFinite(value) && weight > 0)
    .sort((a, b) => a.value - b.value);
  const total = weighted.reduce((sum, { weight }) => sum + weight, 0);
  const at = (share: number): string => {
    let sum = 0;
    for (const { value, weight } of weighted) {
      sum += weight;
      if (sum >= share * total) return unitAfter(formatSigned(value, 1), measure.symbol);
    }
    return "–";
  };
  return context.texts.recordings.residualCaption(detail.title, at(0.5), at(0.25), at(0.75));
}
