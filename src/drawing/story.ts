import { bottomAxis, endLabels, labelRoomPx, leftAxis, type PlotArea, roundTicks } from "./frame.ts";
import { finishPicture, type Picture, type PictureSpec, type Quantity } from "./picture.ts";
import { band } from "./profile.ts";
import { extent, linearScale, niceRange, type Scale } from "./scale.ts";
import { el, line, pathThrough, px } from "./svg.ts";
import { textWidthPx } from "./text-width.ts";
import { LABEL_PX } from "./tokens.ts";
import { type DrawingWords, ENGLISH_DRAWING_WORDS } from "./words.ts";

export interface StoryCurve {
  readonly label: string;
  readonly x: ArrayLike<number>;
  readonly y: ArrayLike<number>;
  readonly low?: ArrayLike<number>;
  readonly high?: ArrayLike<number>;
  /** The leading story is drawn solid and heavy, the others dashed. */
  readonly isLeading?: boolean;
}

export interface StorySpec extends PictureSpec {
  readonly x: Quantity;
  readonly y: Quantity;
  /** `sd` draws a whisker of one standard deviation each way, where points are few enough to stand alone. */
  readonly points: { readonly x: ArrayLike<number>; readonly y: ArrayLike<number>; readonly weight?: ArrayLike<number>; readonly sd?: ArrayLike<number> };
  readonly curves: readonly StoryCurve[];
  readonly range?: { readonly x?: readonly [number, number]; readonly y?: readonly [number, number] };
  readonly words?: DrawingWords;
}

/** More points than this are drawn as density alone. */
const MOST_SPOTS = 500;

/** Residual against operating point: where the samples lie, and each story's curve through them. */
export function story(spec: StorySpec): Picture {
  const w = spec.words ?? ENGLISH_DRAWING_WORDS;
  const widthPx = spec.widthPx ?? 960;
  const heightPx = spec.heightPx ?? 350;
  const known = pairs(spec);
  const ranges = rangesOf(spec, known);
  const nameRoom = Math.min(widthPx * 0.34, Math.max(0, ...spec.curves.map((c) => textWidthPx(c.label, LABEL_PX))) + 24);
  const draft = roundTicks(linearScale(ranges.y[0], ranges.y[1], heightPx - 54, 40), 44);
  const area: PlotArea = { left: labelRoomPx(draft), top: 40, right: widthPx - Math.max(14, nameRoom), bottom: heightPx - 54 };
  const x = linearScale(ranges.x[0], ranges.x[1], area.left, area.right - 4);
  const y = linearScale(ranges.y[0], ranges.y[1], area.bottom, area.top);
  const parts = [
    el("clipPath", { id: `${spec.id}-c` }, el("rect", { x: area.left, y: area.top - 4, width: area.right - area.left, height: area.bottom - area.top + 8 })),
    leftAxis(area, y, roundTicks(y, 44), spec.y, { titleWidthPx: widthPx }),
    bottomAxis(area, x, roundTicks(x, 80), spec.x),
    el(
      "g",
      { "clip-path": `url(#${spec.id}-c)` },
      cloud(known, x, y, area),
      zeroLine(y, area),
      ...[...spec.curves].reverse().map((c) => drawCurve(c, spec.curves.indexOf(c), x, y)),
    ),
    endLabels(
      area.right,
      spec.curves.map((c, i) => ({ y: clampTo(y(lastKnown(c.y)), area), text: c.label, className: c.isLeading ? "accentText" : `name g${curveSlot(i)}` })),
      area,
      widthPx - area.right,
    ),
  ];
  const description = `${spec.caption} ${w.against(spec.y.name, spec.x.name)} [${spec.y.unit}; ${spec.x.unit}], ${w.points(known.length)}. ${spec.curves.map((c) => c.label).join("; ")}.`;
  return finishPicture("story", spec, { widthPx, heightPx }, description, parts.join(""));
}

/** x, y, weight, standard deviation of each known point. */
type Known = readonly [number, number, number, number];

function pairs(spec: StorySpec): Known[] {
  const { x, y, weight, sd } = spec.points;
  const list: Known[] = [];
  for (let i = 0; i < x.length; i++) {
    const weightHere = weight?.[i] ?? 1;
    if (Number.isFinite(x[i]!) && Number.isFinite(y[i]!) && weightHere > 0) list.push([x[i]!, y[i]!, weightHere, sd?.[i] ?? 0]);
  }
  return list;
}

function rangesOf(spec: StorySpec, known: readonly Known[]): { x: [number, number]; y: [number, number] } {
  const trimmed = (values: number[]): [number, number] | undefined => {
    const sorted = values.sort((a, b) => a - b);
    return sorted.length === 0
      ? undefined
      : [sorted[Math.floor(sorted.length * 0.003)]!, sorted[Math.min(sorted.length - 1, Math.ceil(sorted.length * 0.997))]!];
  };
  const xSeen = spec.range?.x ?? extent(trimmed(known.map(([x]) => x)), ...spec.curves.map((c) => c.x)) ?? [0, 1];
  const ySeen = spec.range?.y ??
    extent(trimmed(known.flatMap(([, y, , sd]) => (known.length <= MOST_SPOTS ? [y - sd, y + sd] : [y]))), ...spec.curves.map((c) => c.y), [0]) ?? [0, 1];
  return {
    x: xSeen[1] > xSeen[0] ? [xSeen[0] - 0.02 * (xSeen[1] - xSeen[0]), xSeen[1] + 0.02 * (xSeen[1] - xSeen[0])] : niceRange(xSeen[0], xSeen[1], 8),
    y: niceRange(ySeen[0], ySeen[1], 6),
  };
}

function zeroLine(y: Scale, area: PlotArea): string {
  return y.low < 0 && y.high > 0 ? line(area.left, y(0), area.right, y(0), { class: "zero" }) : "";
}

function spots(known: readonly Known[], x: Scale, y: Scale): string {
  const whiskers = known.filter(([, , , sd]) => sd > 0).map(([cx, cy, , sd]) => `M${px(x(cx))} ${px(y(cy - sd))}V${px(y(cy + sd))}`);
  const radius = known.length > 120 ? 2.2 : 3.4;
  const dots = known.map(([cx, cy]) => el("circle", { class: "cloud", cx: x(cx), cy: y(cy), r: radius }));
  return (
    (whiskers.length === 0 ? "" : el("path", { class: "whisker", d: whiskers.join("") })) + el("g", { opacity: known.length > 120 ? 0.55 : 0.85 }, ...dots)
  );
}

/** Few points as spots; many as small squares whose area grows with what lies in them. */
function cloud(known: readonly Known[], x: Scale, y: Scale, area: PlotArea): string {
  if (known.length <= MOST_SPOTS) return spots(known, x, y);
  const size = 8;
  const counts = new Map<string, number>();
  for (const [cx, cy, weight] of known) {
    const [column, row] = [Math.floor((x(cx) - area.left) / size), Math.floor((y(cy) - area.top) / size)];
    if (column < 0 || row < -1 || area.left + column * size > area.right || area.top + row * size > area.bottom) continue;
    const key = `${column} ${row}`;
    counts.set(key, (counts.get(key) ?? 0) + weight);
  }
  const most = Math.max(...counts.values());
  const levels: string[] = ["", "", "", ""];
  for (const [key, count] of counts) {
    const [column, row] = key.split(" ").map(Number) as [number, number];
    const share = Math.sqrt(count / most);
    const side = 2 + (size - 2.4) * share;
    const inset = (size - side) / 2;
    const level = Math.min(3, Math.floor(share * 4));
    levels[level] += `M${px(area.left + column * size + inset)} ${px(area.top + row * size + inset)}h${px(side)}v${px(side)}h${px(-side)}z`;
  }
  return levels.map((d, level) => (d === "" ? "" : el("path", { class: "cloud", style: `fill:var(--soft);opacity:${0.3 + 0.16 * level}`, d }))).join("");
}

function curveSlot(index: number): number {
  return [1, 3, 5, 6][index % 4]!;
}

function drawCurve(c: StoryCurve, index: number, x: Scale, y: Scale): string {
  const at = (values: ArrayLike<number>): [number, number][] => Array.from(c.x, (value, i) => [x(value), y(values[i] ?? Number.NaN)]);
  const shade = c.low !== undefined && c.high !== undefined ? band(at(c.low), at(c.high), "band") : "";
  const pen = c.isLeading ? "pen heavy" : "pen dash";
  return el("g", { class: c.isLeading ? "accent" : `g${curveSlot(index)}` }, shade, el("path", { class: pen, d: pathThrough(at(c.y)) }));
}

function lastKnown(values: ArrayLike<number>): number {
  for (let i = values.length - 1; i >= 0; i--) if (Number.isFinite(values[i]!)) return values[i]!;
  return Number.NaN;
}

function clampTo(y: number, area: PlotArea): number {
  return Math.min(area.bottom, Math.max(area.top, Number.isFinite(y) ? y : area.bottom));
}
