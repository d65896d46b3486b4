import { bottomAxis, labelRoomPx, leftAxis, type PlotArea, roundTicks } from "./frame.ts";
import { decimalsFor, formatNumber } from "./numbers.ts";
import { finishPicture, type Picture, type PictureSpec, type Quantity, unitAfter } from "./picture.ts";
import { band } from "./profile.ts";
import { extent, linearScale, niceRange, type Scale } from "./scale.ts";
import { el, line, pathThrough, words } from "./svg.ts";
import { textWidthPx } from "./text-width.ts";
import { LABEL_PX } from "./tokens.ts";
import { type DrawingWords, ENGLISH_DRAWING_WORDS } from "./words.ts";

export interface SweepLine {
  readonly label: string;
  readonly x: ArrayLike<number>;
  readonly y: ArrayLike<number>;
  /** `main` is drawn heavy, `run` thin behind it, `target` dashed. */
  readonly weight: "main" | "run" | "target";
}

/** One quantity over engine speed; several panels share the axis. */
export interface SweepPanel {
  readonly quantity: Quantity;
  readonly lines: readonly SweepLine[];
  /** Scatter of repeats as it was computed. */
  readonly band?: { readonly x: ArrayLike<number>; readonly low: ArrayLike<number>; readonly high: ArrayLike<number>; readonly label?: string };
  readonly peak?: { readonly x: number; readonly y: number };
  /** Beyond it the engine is at risk: shaded. */
  readonly limit?: { readonly above?: number; readonly below?: number; readonly label: string };
  readonly heightPx?: number;
  readonly fromZero?: boolean;
}

export interface SweepSpec extends PictureSpec {
  readonly x: Quantity;
  readonly panels: readonly SweepPanel[];
  readonly words?: DrawingWords;
}

const PANEL_GAP_PX = 40;
const PANEL_PX = 170;
/** About so far apart stand the rules across [px]. */
const TICK_PX = 30;

/** Power and torque, and what was measured with them, over engine speed. */
export function sweep(spec: SweepSpec): Picture {
  const w = spec.words ?? ENGLISH_DRAWING_WORDS;
  const widthPx = spec.widthPx ?? 960;
  const xSeen = extent(...spec.panels.flatMap((panel) => [...panel.lines.map((l) => l.x), panel.band?.x])) ?? [0, 1];
  const heights = spec.panels.map((panel) => panel.heightPx ?? PANEL_PX);
  const heightPx = heights.reduce((sum, height) => sum + height + PANEL_GAP_PX, 0) + 52;
  let top = PANEL_GAP_PX;
  const laidOut = spec.panels.map((panel, i) => {
    const range = yRange(panel);
    const y = linearScale(range[0], range[1], top + heights[i]!, top);
    const placed = { panel, y, top, bottom: top + heights[i]! };
    top += heights[i]! + PANEL_GAP_PX;
    return placed;
  });
  const left = Math.max(...laidOut.map(({ y }) => labelRoomPx(roundTicks(y, TICK_PX))));
  const right = widthPx - 24;
  const x = linearScale(xSeen[0], xSeen[1], left, right);
  const parts = laidOut.map(({ panel, y, top: from, bottom }, i) => {
    const area: PlotArea = { left, top: from, right, bottom };
    const isLast = i === laidOut.length - 1;
    return [
      limitShade(panel, y, area),
      leftAxis(area, y, roundTicks(y, TICK_PX), panel.quantity, { titleWidthPx: widthPx * 0.5 }),
      bottomAxis(area, x, isLast ? roundTicks(x, 80) : { values: [], labels: [] }, isLast ? spec.x : undefined),
      drawPanel(panel, i, x, y),
      peakMark(panel, i, spec.x, x, y, area, w),
      panelKey(panel, i, widthPx, from, w),
    ].join("");
  });
  return finishPicture("sweep", spec, { widthPx, heightPx }, describeSweep(spec, w), parts.join(""));
}

function yRange(panel: SweepPanel): [number, number] {
  const seen = extent(...panel.lines.map((l) => l.y), panel.band?.low, panel.band?.high, panel.peak === undefined ? undefined : [panel.peak.y]) ?? [0, 1];
  // Where a panel begins at zero, its limit is in view: how far away it is says as much as the line.
  const top = panel.fromZero && panel.limit?.above !== undefined ? Math.max(seen[1], panel.limit.above * 1.2) : seen[1];
  return niceRange(panel.fromZero ? Math.min(0, seen[0]) : seen[0], top, (panel.heightPx ?? PANEL_PX) / TICK_PX);
}

const PANEL_SLOTS = [1, 0, 2, 5, 3];

function drawPanel(panel: SweepPanel, index: number, x: Scale, y: Scale): string {
  const at = (xs: ArrayLike<number>, ys: ArrayLike<number>): [number, number][] => Array.from(xs, (value, i) => [x(value), y(ys[i] ?? Number.NaN)]);
  const { band: scatter } = panel;
  const shade = scatter === undefined ? "" : band(at(scatter.x, scatter.low), at(scatter.x, scatter.high), "band");
  const rank = { run: 0, target: 1, main: 2 } as const;
  const pens = { run: "pen thin faint", target: "pen dash thin", main: "pen heavy" } as const;
  const lines = [...panel.lines]
    .sort((a, b) => rank[a.weight] - rank[b.weight])
    .map((l) => el("path", { class: pens[l.weight], d: pathThrough(at(l.x, l.y)) }));
  return el("g", { class: `g${PANEL_SLOTS[index % PANEL_SLOTS.length]}` }, shade, ...lines);
}

function limitShade(panel: SweepPanel, y: Scale, area: PlotArea): string {
  const { limit } = panel;
  if (limit === undefined) return "";
  const within = (value: number): number => Math.min(area.bottom, Math.max(area.top, y(value)));
  const shade = (from: number, to: number): string =>
    to - from < 1 ? "" : el("rect", { class: "limit", x: area.left, y: from, width: area.right - area.left, height: to - from });
  const above = limit.above === undefined ? "" : shade(area.top, within(limit.above));
  const below = limit.below === undefined ? "" : shade(within(limit.below), area.bottom);
  const labelY = limit.above !== undefined ? within(limit.above) - 6 : within(limit.below!) + 16;
  return above + below + (above + below === "" ? "" : words(area.left + 8, Math.max(area.top + 14, labelY), limit.label, { class: "breakText haloed" }));
}

function peakMark(panel: SweepPanel, index: number, xQuantity: Quantity, x: Scale, y: Scale, area: PlotArea, w: DrawingWords): string {
  if (panel.peak === undefined) return "";
  const { x: at, y: value } = panel.peak;
  const text = w.peak(unitAfter(formatNumber(value, decimalsFor(value, 4)), panel.quantity.unit), unitAfter(formatNumber(at, 0), xQuantity.unit));
  const width = textWidthPx(text, LABEL_PX);
  const isRight = x(at) + width / 2 > area.right;
  const cx = isRight ? area.right - width / 2 : Math.max(area.left + width / 2, x(at));
  return [
    line(x(at), y(value) - 4, x(at), area.bottom, { class: "axis dots" }),
    el("circle", { class: `spot g${PANEL_SLOTS[index % PANEL_SLOTS.length]}`, cx: x(at), cy: y(value), r: 5 }),
    words(cx, area.top - 6 < y(value) - 24 ? y(value) - 12 : y(value) + 26, text, { class: "mid strong haloed" }),
  ].join("");
}

/** Names of lines and band at the head of the panel, from the right. */
function panelKey(panel: SweepPanel, index: number, widthPx: number, top: number, w: DrawingWords): string {
  const entries: { text: string; drawn: (x: number) => string }[] = [];
  const y = top - 19;
  const pen = (className: string) => (x: number) => line(x, y, x + 26, y, { class: `pen ${className}` });
  for (const weight of ["main", "target", "run"] as const) {
    const first = panel.lines.find((l) => l.weight === weight);
    if (first !== undefined && first.label !== "")
      entries.push({ text: first.label, drawn: pen({ main: "heavy", target: "dash thin", run: "thin faint" }[weight]) });
  }
  if (panel.band !== undefined)
    entries.push({ text: panel.band.label ?? w.range, drawn: (x) => el("rect", { class: "band", x, y: y - 6, width: 26, height: 12 }) });
  let at = widthPx - 16;
  const drawn = entries.reverse().map(({ text, drawn: stroke }) => {
    at -= textWidthPx(text, LABEL_PX) + 34;
    const both = stroke(at) + words(at + 32, y + 5, text);
    at -= 14;
    return both;
  });
  return el("g", { class: `g${PANEL_SLOTS[index % PANEL_SLOTS.length]}` }, ...drawn);
}

function describeSweep(spec: SweepSpec, w: DrawingWords): string {
  const told = spec.panels.map((panel) => {
    const seen = extent(...panel.lines.map((l) => l.y));
    const span =
      seen === undefined
        ? w.noData
        : w.from(formatNumber(seen[0], decimalsFor(seen[1])), unitAfter(formatNumber(seen[1], decimalsFor(seen[1])), panel.quantity.unit));
    const peak =
      panel.peak === undefined
        ? ""
        : `, ${w.peak(unitAfter(formatNumber(panel.peak.y, decimalsFor(panel.peak.y, 4)), panel.quantity.unit), unitAfter(formatNumber(panel.peak.x, 0), spec.x.unit))}`;
    return `${panel.quantity.name} ${span}${peak}`;
  });
  return `${spec.caption} ${spec.x.name} [${spec.x.unit}]. ${told.join("; ")}.`;
}
