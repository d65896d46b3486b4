import { quantile } from "../base/index.ts";
import { type Contour, contours } from "./contours.ts";
import { bottomAxis, labelRoomPx, leftAxis, type PlotArea, type TickMarks } from "./frame.ts";
import { type LegendSpec, legend, legendHeightPx } from "./legend.ts";
import { decimalsOf, formatNumber } from "./numbers.ts";
import { finishPicture, type Picture, type PictureSpec, type Quantity, unitAfter } from "./picture.ts";
import { cellEdges, extent, linearScale, niceTicks, type Scale } from "./scale.ts";
import { differenceStep, valueStep } from "./scales-of-colour.ts";
import { el, pathThrough, px, words } from "./svg.ts";
import { textWidthPx } from "./text-width.ts";
import { LABEL_PX } from "./tokens.ts";
import { type DrawingWords, ENGLISH_DRAWING_WORDS } from "./words.ts";

/** How solid a cell is drawn: 0 not seen, 1 little, 2 some, 3 sure. */
export type Solidity = 0 | 1 | 2 | 3;

export interface FieldSpec extends PictureSpec {
  readonly x: Quantity & { readonly values: ArrayLike<number> };
  readonly y: Quantity & { readonly values: ArrayLike<number> };
  /** Row-major, rows along y; NaN is no value. */
  readonly cells: ArrayLike<number>;
  readonly value: Quantity;
  /** `difference` draws purple–ground–orange about zero and leaves unchanged cells empty with a dot. */
  readonly mode: "value" | "difference";
  /** Where the difference scale saturates; absent: the largest difference, rounded up. */
  readonly limit?: number;
  /** Range of the value scale, to share it between two fields. */
  readonly range?: readonly [number, number];
  readonly solidity?: ArrayLike<number>;
  /** Words for solidity 0–3, in the legend. */
  readonly solidityWords?: readonly [string, string, string, string];
  /** Contour lines at round values; a number says about how many. */
  readonly contours?: boolean | number;
  /** A rectangle of cells framed, [first row, column] to [last row, column]. */
  readonly region?: readonly [readonly [number, number], readonly [number, number]];
  readonly words?: DrawingWords;
}

/** A grid as shaded cells, each as wide as its breakpoints are apart. */
export function field(spec: FieldSpec): Picture {
  const w = spec.words ?? ENGLISH_DRAWING_WORDS;
  const widthPx = spec.widthPx ?? 960;
  const legendSpec = legendOf(spec, w);
  const head = 30 + legendHeightPx(legendSpec, widthPx);
  const heightPx = spec.heightPx ?? Math.round(Math.min(520, Math.max(260, widthPx * 0.48)) + head * 0.4);
  const xEdges = cellEdges(spec.x.values);
  const yEdges = cellEdges(spec.y.values);
  const marks = { x: breakpointMarks(spec.x.values), y: breakpointMarks(spec.y.values) };
  const area: PlotArea = { left: labelRoomPx(marks.y), top: head, right: widthPx - 8, bottom: heightPx - 54 };
  const x = linearScale(xEdges[0]!, xEdges[xEdges.length - 1]!, area.left, area.right);
  const y = linearScale(yEdges[0]!, yEdges[yEdges.length - 1]!, area.bottom, area.top);
  const parts = [
    hatchPatterns(spec.id),
    legend(legendSpec, widthPx),
    ...cellRects(spec, legendSpec, xEdges, yEdges, x, y),
    spec.contours ? contourLines(spec, x, y, area) : "",
    spec.region === undefined ? "" : regionFrame(spec.region, xEdges, yEdges, x, y),
    leftAxis(area, y, marks.y, spec.y, { grid: false, titleWidthPx: widthPx }),
    bottomAxis(area, x, marks.x, spec.x),
  ];
  return finishPicture("field", spec, { widthPx, heightPx }, describeField(spec, w), parts.join(""));
}

function breakpointMarks(values: ArrayLike<number>): TickMarks {
  const decimals = decimalsOf(values);
  const all = Array.from(values);
  return { values: all, labels: all.map((value) => formatNumber(value, decimals)) };
}

function legendOf(spec: FieldSpec, w: DrawingWords): LegendSpec {
  const range = spec.range ?? extent(spec.cells) ?? [0, 1];
  const title = spec.mode === "difference" ? w.changeOf(spec.value.name) : spec.value.name;
  const largest = Math.max(Math.abs(range[0]), Math.abs(range[1]));
  const limit = spec.limit ?? saturationOf(spec.cells, largest);
  return {
    id: spec.id,
    mode: spec.mode,
    title,
    unit: spec.value.unit,
    low: spec.mode === "difference" ? -limit : range[0],
    high: spec.mode === "difference" ? limit : range[1],
    isSaturated: spec.mode === "difference" && largest > limit * (1 + 1e-9),
    solidityWords: spec.solidity === undefined ? undefined : (spec.solidityWords ?? [w.notSeen, "", "", ""]),
    words: w,
  };
}

/** Where a difference scale ends: the largest change, or, where a few cells stick out, what all but a thirtieth of them keep to. */
function saturationOf(cells: ArrayLike<number>, largest: number): number {
  const sizes = Array.from(cells, Math.abs).filter((size) => size > 0);
  const usual = quantile(sizes, 29 / 30);
  return roundedUp(largest > 1.6 * usual && sizes.length > 20 ? usual : largest);
}

/** The next round number above: a limit that a legend can print. */
export function roundedUp(value: number): number {
  if (!(value > 0)) return 1;
  const unit = 10 ** Math.floor(Math.log10(value));
  return [1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10].map((f) => f * unit).find((candidate) => candidate >= value * (1 - 1e-9))!;
}

function cellRects(spec: FieldSpec, scale: LegendSpec, xEdges: readonly number[], yEdges: readonly number[], x: Scale, y: Scale): string[] {
  const columns = spec.x.values.length;
  const rects: string[] = [];
  for (let i = 0; i < spec.cells.length; i++) {
    const column = i % columns;
    const row = Math.floor(i / columns);
    const box = {
      x: x(xEdges[column]!),
      y: y(yEdges[row + 1]!),
      width: x(xEdges[column + 1]!) - x(xEdges[column]!),
      height: y(yEdges[row]!) - y(yEdges[row + 1]!),
    };
    rects.push(cell(spec, scale, spec.cells[i]!, spec.solidity?.[i], box));
  }
  return rects;
}

function cell(
  spec: FieldSpec,
  scale: LegendSpec,
  value: number,
  solidity: number | undefined,
  box: { x: number; y: number; width: number; height: number },
): string {
  const step = spec.mode === "value" ? valueStep(value, scale.low, scale.high) : differenceStep(value, scale.high);
  if (step === undefined) return el("rect", { class: "cell empty", ...box });
  const isSame = spec.mode === "difference" && step === 0;
  const fill = spec.mode === "value" ? `v${step}` : step < 0 ? `l${-step}` : `m${step}`;
  if (isSame) return unchangedCell(spec.id, box, solidity);
  const solid = el("rect", { class: `cell ${fill}`, ...box });
  return solidity === undefined || solidity >= 3 ? solid : solid + el("rect", { fill: `url(#${spec.id}-h${solidity})`, ...box });
}

/** Empty with a dot; where nothing was seen either, a faint hatch says so. */
function unchangedCell(id: string, box: { x: number; y: number; width: number; height: number }, solidity: number | undefined): string {
  const hatch = solidity === 0 ? el("rect", { fill: `url(#${id}-void)`, ...box }) : "";
  return el("rect", { class: "cell empty", ...box }) + hatch + el("circle", { class: "same", cx: box.x + box.width / 2, cy: box.y + box.height / 2, r: 1.4 });
}

/** Ground-coloured strokes that thin a cell out: the less is known, the wider they are. */
export function hatchPatterns(id: string): string {
  const strokes = [6.2, 4.2, 2];
  return el(
    "defs",
    {},
    el(
      "pattern",
      { id: `${id}-void`, width: 8, height: 8, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
      el("path", { class: "void", d: "M4 -1V9" }),
    ),
    ...strokes.map((strokeWidth, level) =>
      el(
        "pattern",
        { id: `${id}-h${level}`, width: 8, height: 8, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
        el("path", { class: "hatch", d: "M0 -1V9", "stroke-width": strokeWidth }),
        el("path", { class: "hatch", d: "M8 -1V9", "stroke-width": strokeWidth }),
      ),
    ),
  );
}

function contourLines(spec: FieldSpec, x: Scale, y: Scale, area: PlotArea): string {
  const range = extent(spec.cells);
  if (range === undefined || spec.x.values.length < 2 || spec.y.values.length < 2) return "";
  const { values, decimals } = niceTicks(range[0], range[1], typeof spec.contours === "number" ? spec.contours : 6);
  const lines = contours(spec.x.values, spec.y.values, spec.cells, values).filter((contour) => lengthPx(contour, x, y) > 24);
  const paths = lines.map((contour) => pathThrough(contour.points.map(([cx, cy]) => [x(cx), y(cy)] as const)));
  const taken: { x: number; y: number; half: number }[] = [];
  const labels = lines.map((contour) => contourLabel(contour, formatNumber(contour.level, decimals), x, y, area, taken));
  return [...paths.map((d) => el("path", { class: "halo", d })), ...paths.map((d) => el("path", { class: "contour", d })), ...labels].join("");
}

function lengthPx(contour: Contour, x: Scale, y: Scale): number {
  return contour.points.slice(1).reduce((sum, [toX, toY], i) => sum + Math.hypot(x(toX) - x(contour.points[i]![0]), y(toY) - y(contour.points[i]![1])), 0);
}

/** The level on a small plate, where the line is long enough and no other label stands. */
function contourLabel(contour: Contour, text: string, x: Scale, y: Scale, area: PlotArea, taken: { x: number; y: number; half: number }[]): string {
  const points = contour.points.map(([cx, cy]) => [x(cx), y(cy)] as const);
  const half = textWidthPx(text, LABEL_PX) / 2 + 2;
  if (lengthPx(contour, x, y) < 5 * half) return "";
  const order = points.map((_, i) => i).sort((a, b) => Math.abs(a - points.length / 2) - Math.abs(b - points.length / 2));
  for (const i of order) {
    const [cx, cy] = points[i]!;
    const isInside = cx - half > area.left && cx + half < area.right && cy - 10 > area.top && cy + 10 < area.bottom;
    if (!isInside || taken.some((other) => Math.abs(other.x - cx) < other.half + half + 6 && Math.abs(other.y - cy) < 20)) continue;
    taken.push({ x: cx, y: cy, half });
    return el("rect", { class: "plate", x: cx - half, y: cy - 9, width: 2 * half, height: 18, rx: 3 }) + words(cx, cy + 5, text, { class: "mid" });
  }
  return "";
}

function regionFrame(region: NonNullable<FieldSpec["region"]>, xEdges: readonly number[], yEdges: readonly number[], x: Scale, y: Scale): string {
  const [[firstRow, firstColumn], [lastRow, lastColumn]] = region;
  const left = x(xEdges[firstColumn] ?? xEdges[0]!);
  const right = x(xEdges[lastColumn + 1] ?? xEdges[xEdges.length - 1]!);
  const bottom = y(yEdges[firstRow] ?? yEdges[0]!);
  const top = y(yEdges[lastRow + 1] ?? yEdges[yEdges.length - 1]!);
  return el("path", { class: "region", d: `M${px(left)} ${px(bottom)}H${px(right)}V${px(top)}H${px(left)}Z` });
}

function describeField(spec: FieldSpec, w: DrawingWords): string {
  const range = extent(spec.cells);
  const decimals = decimalsOf(spec.cells, 2);
  const span = range === undefined ? w.noData : w.from(formatNumber(range[0], decimals), unitAfter(formatNumber(range[1], decimals), spec.value.unit));
  const name = spec.mode === "difference" ? w.changeOf(spec.value.name) : spec.value.name;
  const size = `${spec.y.values.length} × ${spec.x.values.length}`;
  return `${spec.caption} ${name}, ${size}: ${spec.y.name} [${spec.y.unit}] × ${spec.x.name} [${spec.x.unit}], ${span}.`;
}
