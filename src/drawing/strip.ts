import { decimate } from "./decimate.ts";
import { bottomAxis, type PlotArea } from "./frame.ts";
import { formatNumber } from "./numbers.ts";
import { finishPicture, type Picture, type PictureSpec, unitAfter } from "./picture.ts";
import { extent, linearScale, niceTicks, type Scale } from "./scale.ts";
import { lineStyle } from "./signal-style.ts";
import { el, line, pathThrough, px, words } from "./svg.ts";
import { fitText, textWidthPx } from "./text-width.ts";
import { LABEL_PX } from "./tokens.ts";
import { type DrawingWords, ENGLISH_DRAWING_WORDS } from "./words.ts";

export interface StripSeries {
  /** Signal id where it is one: decides colour and dash. */
  readonly signal: string;
  readonly label: string;
  readonly timeS: ArrayLike<number>;
  readonly values: ArrayLike<number>;
}

/** A lane: one unit, one or a few series. */
export interface StripLane {
  readonly unit: string;
  readonly series: readonly StripSeries[];
  readonly range?: readonly [number, number];
  /** A level drawn across, e.g. zero trim. */
  readonly rule?: number;
}

export interface StripSpan {
  readonly fromS: number;
  readonly toS: number;
  readonly label: string;
}

export interface StripSpec extends PictureSpec {
  readonly fromS: number;
  readonly toS: number;
  readonly lanes: readonly StripLane[];
  readonly moments?: readonly StripSpan[];
  /** The span that is evidence, tinted through all lanes. */
  readonly evidence?: readonly StripSpan[];
  readonly laneHeightPx?: number;
  readonly words?: DrawingWords;
}

const LANE_GAP_PX = 30;

/** A span of a recording in lanes over one time axis. */
export function strip(spec: StripSpec): Picture {
  const w = spec.words ?? ENGLISH_DRAWING_WORDS;
  const widthPx = spec.widthPx ?? 960;
  const laneHeight = spec.laneHeightPx ?? 62;
  const moments = inRows(spec.moments ?? []);
  const ribbon = moments.length === 0 ? 0 : 4 + RIBBON_PX * (1 + Math.max(...moments.map(({ row }) => row)));
  const evidenceHead = spec.evidence !== undefined && spec.evidence.length > 0 ? 22 : 0;
  const top = ribbon + evidenceHead + 4;
  const bottom = top + spec.lanes.length * (laneHeight + LANE_GAP_PX);
  const left = 62;
  const area: PlotArea = { left, top, right: widthPx - 22, bottom };
  const x = linearScale(spec.fromS, spec.toS, left, area.right);
  const parts: string[] = [];
  for (const span of spec.evidence ?? []) parts.push(evidenceSpan(span, x, area, ribbon));
  if (ribbon > 0) parts.push(momentRibbon(moments, x, area));
  spec.lanes.forEach((lane, i) => {
    const laneTop = top + i * (laneHeight + LANE_GAP_PX);
    parts.push(drawLane(lane, x, { ...area, top: laneTop + 22, bottom: laneTop + laneHeight + LANE_GAP_PX - 8 }, spec));
  });
  const marks = timeMarks(spec, area.right - area.left, w);
  parts.push(bottomAxis(area, x, marks, { name: w.timeInRecording, unit: marks.unit }));
  return finishPicture("strip", spec, { widthPx, heightPx: bottom + 52 }, describeStrip(spec), parts.join(""));
}

/** Whole recordings in minutes, short spans in seconds; a short span late in a recording as minutes and seconds, as it is found again. */
function timeMarks(spec: StripSpec, widthPx: number, w: DrawingWords): { values: number[]; labels: string[]; unit: string } {
  const { fromS, toS } = spec;
  const inMinutes = toS - fromS > 240;
  const unitS = inMinutes ? 60 : 1;
  const { values, decimals } = niceTicks(fromS / unitS, toS / unitS, widthPx / 80);
  const isLate = !inMinutes && fromS >= 120;
  const label = (value: number): string =>
    isLate ? `${Math.floor(value / 60)}:${(value % 60).toFixed(decimals).padStart(decimals === 0 ? 2 : 3 + decimals, "0")}` : formatNumber(value, decimals);
  return { values: values.map((value) => value * unitS), labels: values.map(label), unit: inMinutes ? w.minutes : isLate ? w.minutesSeconds : w.seconds };
}

function drawLane(lane: StripLane, x: Scale, area: PlotArea, spec: StripSpec): string {
  const pixels = area.right - area.left;
  const lines = lane.series.map((series) => decimate(series.timeS, series.values, spec, pixels));
  const seen = extent(...lines.map((points) => points.map((point) => point.value))) ?? [0, 1];
  const range = lane.range ?? padded(seen);
  const y = linearScale(range[0], range[1], area.bottom, area.top);
  const marks = niceTicks(range[0], range[1], 3);
  const parts = marks.values.map((value) => line(area.left, y(value), area.right, y(value), { class: "grid" }));
  for (const value of marks.values) parts.push(words(area.left - 8, y(value) + 5, formatNumber(value, marks.decimals), { class: "end" }));
  if (lane.rule !== undefined && lane.rule >= range[0] && lane.rule <= range[1])
    parts.push(line(area.left, y(lane.rule), area.right, y(lane.rule), { class: "zero" }));
  const drawn = lane.series
    .map((series, i) => {
      const style = lineStyle(series.signal);
      const d = pathThrough(lines[i]!.map((point) => [x(point.timeS), y(point.value)] as const));
      return el("path", { class: `pen thin g${style.slot} ${style.dash}`.trim(), d });
    })
    .reverse();
  return parts.join("") + drawn.join("") + laneNames(lane, area);
}

function padded([low, high]: readonly [number, number]): [number, number] {
  const pad = high > low ? (high - low) * 0.06 : Math.max(1, Math.abs(high) * 0.1);
  return [low - pad, high + pad];
}

/** Names above the lane, each with a stroke of its line. */
function laneNames(lane: StripLane, area: PlotArea): string {
  let at = area.left;
  return lane.series
    .map((series) => {
      const style = lineStyle(series.signal);
      const text = fitText(`${series.label} [${lane.unit === "" ? "–" : lane.unit}]`, area.right - at - 30, LABEL_PX);
      const drawn = line(at, area.top - 11, at + 22, area.top - 11, { class: `pen g${style.slot} ${style.dash}`.trim() }) + words(at + 28, area.top - 6, text);
      at += 28 + textWidthPx(text, LABEL_PX) + 20;
      return drawn;
    })
    .join("");
}

function evidenceSpan(span: StripSpan, x: Scale, area: PlotArea, ribbon: number): string {
  const left = Math.max(area.left, x(span.fromS));
  const right = Math.max(left + 2, Math.min(area.right, x(span.toS)));
  const width = textWidthPx(span.label, LABEL_PX);
  const at = Math.min(Math.max(area.left, left), Math.max(area.left, area.right - width));
  return [
    el("rect", { class: "evidence", x: left, y: ribbon + 20, width: right - left, height: area.bottom - ribbon - 20 }),
    line(left, ribbon + 20, right, ribbon + 20, { class: "pen accent heavy" }),
    words(at, ribbon + 14, fitText(span.label, area.right - area.left, LABEL_PX), { class: "accentText" }),
  ].join("");
}

const RIBBON_PX = 23;

/** Moments that overlap go to further rows, the longest stay in the first. */
function inRows(moments: readonly StripSpan[]): { moment: StripSpan; row: number }[] {
  const rows: StripSpan[][] = [];
  return [...moments]
    .sort((a, b) => b.toS - b.fromS - (a.toS - a.fromS) || a.fromS - b.fromS)
    .map((moment) => {
      const free = rows.findIndex((row) => row.every((other) => other.toS <= moment.fromS || other.fromS >= moment.toS));
      const row = free >= 0 ? free : rows.push([]) - 1;
      rows[row]!.push(moment);
      return { moment, row };
    });
}

/** What kind of driving it was, along the top; a name where it fits. */
function momentRibbon(moments: readonly { moment: StripSpan; row: number }[], x: Scale, area: PlotArea): string {
  return moments
    .map(({ moment, row }) => {
      const left = Math.max(area.left, x(moment.fromS));
      const right = Math.min(area.right, x(moment.toS));
      if (right <= left) return "";
      const y = 1 + row * RIBBON_PX;
      const fits = textWidthPx(moment.label, 13) + 8 < right - left;
      const box = el("rect", { class: "ribbon", x: left, y, width: Math.max(1.5, right - left), height: 20 });
      return box + (fits ? words((left + right) / 2, y + 14.5, moment.label, { class: "mid", "font-size": 13 }) : "");
    })
    .join("");
}

function describeStrip(spec: StripSpec): string {
  const lanes = spec.lanes.flatMap((lane) =>
    lane.series.map((series) => {
      const points = decimate(series.timeS, series.values, spec, 400);
      const seen = extent(points.map((point) => point.value));
      if (seen === undefined) return `${series.label}: –`;
      const decimals = Math.abs(seen[1]) >= 100 ? 0 : 2;
      return `${series.label}: ${formatNumber(seen[0], decimals)} … ${unitAfter(formatNumber(seen[1], decimals), lane.unit)}`;
    }),
  );
  return `${spec.caption} ${px(spec.fromS)}–${px(spec.toS)} s. ${lanes.join("; ")}.`;
}
