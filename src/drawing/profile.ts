import { bottomAxis, endLabels, labelRoomPx, leftAxis, type PlotArea, roundTicks } from "./frame.ts";
import { formatNumber } from "./numbers.ts";
import { axisTitle, finishPicture, type Picture, type PictureSpec, type Quantity, unitAfter } from "./picture.ts";
import { extent, linearScale, niceRange, type Scale } from "./scale.ts";
import { el, pathThrough, words } from "./svg.ts";
import { textWidthPx } from "./text-width.ts";
import { LABEL_PX } from "./tokens.ts";
import { type DrawingWords, ENGLISH_DRAWING_WORDS } from "./words.ts";

/** One line of a folded table: a row over x, as it was and as it is. */
export interface ProfileLine {
  readonly label: string;
  readonly before?: ArrayLike<number>;
  readonly after?: ArrayLike<number>;
  /** Interval of `after`. */
  readonly low?: ArrayLike<number>;
  readonly high?: ArrayLike<number>;
}

export interface ProfileSpec extends PictureSpec {
  readonly x: Quantity & { readonly values: ArrayLike<number> };
  readonly y: Quantity;
  /** At most about five; more is no picture any more. */
  readonly lines: readonly ProfileLine[];
  /** A limit drawn across, e.g. a ceiling. */
  readonly limit?: { readonly value: number; readonly label: string };
  readonly words?: DrawingWords;
}

/** About so far apart stand the rules across [px]. */
const TICK_PX = 36;

/** A table folded into a few lines: before dashed, after solid, the interval as a band. */
export function profile(spec: ProfileSpec): Picture {
  const w = spec.words ?? ENGLISH_DRAWING_WORDS;
  const widthPx = spec.widthPx ?? 960;
  const heightPx = spec.heightPx ?? 330;
  const columns = spec.lines.flatMap((l) => [l.before, l.after, l.low, l.high]);
  const range = extent(...columns, spec.limit === undefined ? undefined : [spec.limit.value]) ?? [0, 1];
  const [low, high] = niceRange(range[0], range[1], (heightPx - 98) / TICK_PX);
  const names = spec.lines.map((l) => l.label);
  const nameRoom = Math.min(widthPx * 0.28, Math.max(0, ...names.map((name) => textWidthPx(name, LABEL_PX))) + 22);
  const draft = roundTicks(linearScale(low, high, heightPx - 54, 44), TICK_PX);
  const hasKey = spec.lines.some((l) => l.before !== undefined && l.after !== undefined);
  const keyWidth = hasKey ? textWidthPx(`${w.before}${w.after}`, LABEL_PX) + 110 : 0;
  const keyBelow = hasKey && textWidthPx(axisTitle(spec.y), LABEL_PX) + keyWidth + 12 > widthPx;
  const top = keyBelow ? 68 : 44;
  const area: PlotArea = { left: labelRoomPx(draft), top, right: widthPx - Math.max(14, nameRoom), bottom: heightPx - 54 };
  const xRange = extent(spec.x.values) ?? [0, 1];
  const x = linearScale(xRange[0], xRange[1], area.left + 6, area.right - 6);
  const y = linearScale(low, high, area.bottom, area.top);
  const parts = [
    leftAxis(area, y, roundTicks(y, TICK_PX), spec.y, { titleWidthPx: keyBelow ? widthPx : widthPx - keyWidth - 12, titleY: 30 }),
    bottomAxis(area, x, roundTicks(x, 70), spec.x),
    spec.limit === undefined ? "" : limitLine(area, y(spec.limit.value), spec.limit.label),
    ...spec.lines.map((l, i) => drawLine(l, i, spec.x.values, x, y)),
    endLabels(
      area.right,
      spec.lines.map((l, i) => ({ y: y(lastValue(l)), text: l.label, className: `name g${i % 8}` })),
      area,
      widthPx - area.right,
    ),
    hasKey ? beforeAfterKey(widthPx - keyWidth, area.top - 19, w) : "",
  ];
  return finishPicture("profile", spec, { widthPx, heightPx }, describeProfile(spec, w), parts.join(""));
}

function drawLine(l: ProfileLine, index: number, xs: ArrayLike<number>, x: Scale, y: Scale): string {
  const group: string[] = [];
  const points = (values: ArrayLike<number>): [number, number][] => Array.from(xs, (at, i) => [x(at), y(values[i] ?? Number.NaN)]);
  const { before, after, low, high } = l;
  if (low !== undefined && high !== undefined) group.push(band(points(low), points(high), "band"));
  else if (before !== undefined && after !== undefined) group.push(...changeTint(points(before), points(after)));
  const changed = before !== undefined && after !== undefined && Array.from(xs).some((_, i) => before[i] !== after[i]);
  if (before !== undefined && (changed || after === undefined)) group.push(el("path", { class: "pen dash", d: pathThrough(points(before)) }));
  if (after !== undefined) group.push(el("path", { class: "pen", d: pathThrough(points(after)) }));
  const shown = after ?? before;
  if (shown !== undefined && xs.length <= 40)
    group.push(
      ...points(shown)
        .filter(([, cy]) => Number.isFinite(cy))
        .map(([cx, cy]) => el("circle", { class: "spot", cx, cy, r: 3 })),
    );
  return el("g", { class: `g${index % 8}` }, ...group);
}

/** The area between two lines; it breaks where either is not known. */
export function band(low: readonly [number, number][], high: readonly [number, number][], className: string): string {
  const rings: string[] = [];
  let run: number[] = [];
  const close = (): void => {
    if (run.length > 1) rings.push(pathThrough([...run.map((i) => high[i]!), ...[...run].reverse().map((i) => low[i]!)], true));
    run = [];
  };
  for (let i = 0; i < low.length; i++) {
    if (Number.isFinite(low[i]![1]) && Number.isFinite(high[i]![1])) run.push(i);
    else close();
  }
  close();
  return rings.length === 0 ? "" : el("path", { class: className, d: rings.join("") });
}

/** Between before and after: purple where it became less, orange where more. */
function changeTint(before: readonly [number, number][], after: readonly [number, number][]): string[] {
  const shapes: string[] = [];
  for (let i = 0; i + 1 < before.length; i++) {
    const [x0, b0] = before[i]!;
    const [x1, b1] = before[i + 1]!;
    const [a0, a1] = [after[i]![1], after[i + 1]![1]];
    if (![b0, b1, a0, a1].every(Number.isFinite) || (a0 === b0 && a1 === b1)) continue;
    const more = a0 + a1 < b0 + b1;
    shapes.push(
      el("path", {
        style: `fill:var(--${more ? "m" : "l"}5);opacity:.5`,
        d: pathThrough(
          [
            [x0, b0],
            [x1, b1],
            [x1, a1],
            [x0, a0],
          ],
          true,
        ),
      }),
    );
  }
  return shapes;
}

function lastValue(l: ProfileLine): number {
  const values = l.after ?? l.before ?? [];
  for (let i = values.length - 1; i >= 0; i--) if (Number.isFinite(values[i]!)) return values[i]!;
  return Number.NaN;
}

function limitLine(area: PlotArea, y: number, label: string): string {
  return el(
    "g",
    { class: "break" },
    el("path", {
      class: "pen",
      d: pathThrough([
        [area.left, y],
        [area.right, y],
      ]),
    }),
    words(area.left + 6, y - 7, label, { class: "breakText" }),
  );
}

export function beforeAfterKey(x: number, y: number, w: DrawingWords): string {
  const second = x + 48 + textWidthPx(w.before, LABEL_PX);
  return [
    el("path", {
      class: "pen dash",
      d: pathThrough([
        [x, y],
        [x + 30, y],
      ]),
    }),
    words(x + 36, y + 5, w.before),
    el("path", {
      class: "pen",
      d: pathThrough([
        [second, y],
        [second + 30, y],
      ]),
    }),
    words(second + 36, y + 5, w.after),
  ].join("");
}

function describeProfile(spec: ProfileSpec, w: DrawingWords): string {
  const lines = spec.lines.map((l) => {
    const say = (name: string, values: ArrayLike<number> | undefined): string => {
      const range = extent(values);
      if (range === undefined) return "";
      const decimals = Math.abs(range[1]) >= 100 ? 0 : Math.abs(range[1]) >= 10 ? 1 : 2;
      return ` ${name} ${w.from(formatNumber(range[0], decimals), unitAfter(formatNumber(range[1], decimals), spec.y.unit))}`;
    };
    return `${l.label === "" ? "" : `${l.label}:`}${say(w.before, l.before)}${l.before !== undefined && l.after !== undefined ? "," : ""}${say(w.after, l.after)}`;
  });
  return `${spec.caption} ${w.against(spec.y.name, spec.x.name)} [${spec.x.unit}]. ${lines.join("; ")}.`;
}
