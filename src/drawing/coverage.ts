import { bottomAxis, labelRoomPx, leftAxis, type PlotArea } from "./frame.ts";
import { decimalsOf, formatNumber } from "./numbers.ts";
import { finishPicture, type Picture, type PictureSpec, type Quantity } from "./picture.ts";
import { cellEdges, extent, linearScale } from "./scale.ts";
import { el, words } from "./svg.ts";
import { textWidthPx } from "./text-width.ts";
import { LABEL_PX } from "./tokens.ts";
import { type DrawingWords, ENGLISH_DRAWING_WORDS } from "./words.ts";

export interface CoverageSpec extends PictureSpec {
  readonly x: Quantity & { readonly values: ArrayLike<number> };
  readonly y: Quantity & { readonly values: ArrayLike<number> };
  /** Seconds spent near each cell, row-major; 0 or NaN is never. */
  readonly dwellS: ArrayLike<number>;
  /** Where to go next, best first. */
  readonly next?: readonly { readonly x: number; readonly y: number }[];
  /** Left out where there is no room for it; the caption then says what a full cell means. */
  readonly hasKey?: boolean;
  readonly words?: DrawingWords;
}

/** Dwell below which a cell is drawn a step emptier [s]; the last step is solid. */
const STEPS_S = [0.2, 1, 5, 20];

/** Where the engine was, by how full a cell is, and where to go next. */
export function coverage(spec: CoverageSpec): Picture {
  const w = spec.words ?? ENGLISH_DRAWING_WORDS;
  const widthPx = spec.widthPx ?? 960;
  const heightPx = spec.heightPx ?? Math.round(Math.min(460, Math.max(240, widthPx * 0.42)));
  const xEdges = cellEdges(spec.x.values);
  const yEdges = cellEdges(spec.y.values);
  const marksOf = (values: ArrayLike<number>) => ({
    values: Array.from(values),
    labels: Array.from(values, (value) => formatNumber(value, decimalsOf(values))),
  });
  const [xMarks, yMarks] = [marksOf(spec.x.values), marksOf(spec.y.values)];
  const area: PlotArea = { left: labelRoomPx(yMarks), top: spec.hasKey === false ? 30 : 58, right: widthPx - 8, bottom: heightPx - 54 };
  const x = linearScale(xEdges[0]!, xEdges[xEdges.length - 1]!, area.left, area.right);
  const y = linearScale(yEdges[0]!, yEdges[yEdges.length - 1]!, area.bottom, area.top);
  const columns = spec.x.values.length;
  const cells = Array.from(spec.dwellS, (dwellS, i) => {
    const [row, column] = [Math.floor(i / columns), i % columns];
    const box = {
      x: x(xEdges[column]!),
      y: y(yEdges[row + 1]!),
      width: x(xEdges[column + 1]!) - x(xEdges[column]!),
      height: y(yEdges[row]!) - y(yEdges[row + 1]!),
    };
    return filledCell(box, levelOf(dwellS));
  });
  const visits = (spec.next ?? []).map((spot, i) => visit(x(spot.x), y(spot.y), i + 1));
  const body = [
    ...(spec.hasKey === false ? [] : [key(w, (spec.next ?? []).length > 0, widthPx)]),
    ...cells,
    ...visits,
    leftAxis(area, y, yMarks, spec.y, { grid: false }),
    bottomAxis(area, x, xMarks, spec.x),
  ].join("");
  return finishPicture("coverage", spec, { widthPx, heightPx }, describeCoverage(spec, w), body);
}

/** 0 never … 4 long. */
function levelOf(dwellS: number): number {
  return Number.isFinite(dwellS) ? STEPS_S.filter((step) => dwellS >= step).length : 0;
}

/** The cell's frame, and inside it a block that grows with the time spent there. */
function filledCell(box: { x: number; y: number; width: number; height: number }, level: number): string {
  const share = [0, 0.4, 0.62, 0.82, 1][level]!;
  const [width, height] = [box.width * share, box.height * share];
  const inside = level === 0 ? "" : el("rect", { class: "dwell", x: box.x + (box.width - width) / 2, y: box.y + (box.height - height) / 2, width, height });
  return el("rect", { class: "cell empty", ...box }) + inside;
}

function visit(cx: number, cy: number, rank: number): string {
  return el("circle", { class: "visit", cx, cy, r: 12 }) + words(cx, cy + 5, String(rank), { class: "mid visitText" });
}

function key(w: DrawingWords, hasNext: boolean, widthPx: number): string {
  const labels = ["< 1 s", "1–5 s", "5–20 s", "> 20 s"];
  let at = 0;
  const parts = [words(at, 15, w.dwell, { class: "strong" })];
  at += textWidthPx(w.dwell, LABEL_PX) + 14;
  labels.forEach((label, i) => {
    parts.push(filledCell({ x: at, y: 3, width: 22, height: 15 }, i + 1), words(at + 28, 15, label));
    at += 28 + textWidthPx(label, LABEL_PX) + 16;
  });
  if (hasNext && at + 30 + textWidthPx(w.goHere, LABEL_PX) < widthPx) parts.push(visit(at + 12, 14, 1), words(at + 30, 16, w.goHere));
  return parts.join("");
}

function describeCoverage(spec: CoverageSpec, w: DrawingWords): string {
  const seen = Array.from(spec.dwellS).filter((dwellS) => dwellS > 0).length;
  const longest = extent(spec.dwellS)?.[1] ?? 0;
  const next = (spec.next ?? []).map((spot, i) => `${i + 1}: ${formatNumber(spot.x, 0)} ${spec.x.unit}, ${formatNumber(spot.y, 1)} ${spec.y.unit}`);
  return `${spec.caption} ${spec.y.name} [${spec.y.unit}] × ${spec.x.name} [${spec.x.unit}]; ${seen} / ${spec.dwellS.length}, ${w.dwell} ≤ ${formatNumber(longest, 0)} s. ${next.join("; ")}`.trim();
}
