import { formatNumber } from "./numbers.ts";
import { axisTitle, finishPicture, type Picture, type PictureSpec, type Quantity } from "./picture.ts";
import { extent, linearScale, niceRange, niceTicks } from "./scale.ts";
import { el, line, pathThrough, px, words } from "./svg.ts";
import { fitText, textWidthPx, wrapText } from "./text-width.ts";
import { LABEL_PX } from "./tokens.ts";
import { type DrawingWords, ENGLISH_DRAWING_WORDS } from "./words.ts";

/** One member of a chain: what it is in the chain, its name, a small profile and a line on what it says. */
export interface ChainStep {
  /** "request", "look-up", "effect" or the like. */
  readonly part: string;
  readonly name: string;
  readonly says: string;
  readonly profile?: { readonly x: Quantity & { readonly values: ArrayLike<number> }; readonly y: Quantity; readonly lines: readonly ArrayLike<number>[] };
  /** The step gives nothing because of what stands before it. */
  readonly isDead?: boolean;
}

export interface ChainSpec extends PictureSpec {
  readonly steps: readonly ChainStep[];
  /** `links[i]` joins step i to step i + 1. */
  readonly links: readonly { readonly isBroken: boolean; readonly label?: string }[];
  readonly words?: DrawingWords;
}

const ARROW_PX = 92;
const PLOT_PX = 104;

/** Request → look-up → effect, tables as small profiles joined by arrows, a broken link drawn broken. */
export function chain(spec: ChainSpec): Picture {
  const w = spec.words ?? ENGLISH_DRAWING_WORDS;
  const widthPx = spec.widthPx ?? 960;
  const count = spec.steps.length;
  const stepPx = (widthPx - (count - 1) * ARROW_PX) / count;
  const names = spec.steps.map((step) => wrapText(step.name, stepPx, LABEL_PX * 1.08));
  const says = spec.steps.map((step) => wrapText(step.says, stepPx, LABEL_PX));
  const nameLines = Math.max(...names.map((lines) => lines.length));
  const plotTop = 28 + nameLines * 18 + 24;
  const saysTop = plotTop + PLOT_PX + 62;
  const heightPx = saysTop + Math.max(...says.map((lines) => lines.length)) * 18;
  const parts = spec.steps.flatMap((step, i) => {
    const left = i * (stepPx + ARROW_PX);
    // What is no table stands where the arrow points, else a reader looks for its picture.
    const top = step.profile === undefined ? plotTop + PLOT_PX / 2 - 14 - nameLines * 9 : 0;
    const below = step.profile === undefined ? top + 34 + names[i]!.length * 18 + 4 : saysTop;
    return [
      words(left, top + 14, step.part.toUpperCase(), { class: "soft", "font-size": 13, "letter-spacing": "0.06em" }),
      ...names[i]!.map((text, k) => words(left, top + 34 + k * 18, text, { class: "strong" })),
      step.profile === undefined ? "" : smallProfile(step, left, plotTop, stepPx),
      ...says[i]!.map((text, k) => words(left, below + k * 18, text)),
    ];
  });
  parts.push(...spec.links.map((link, i) => arrow((i + 1) * stepPx + i * ARROW_PX, plotTop + PLOT_PX / 2, link, w)));
  const told = spec.steps.map(
    (step, i) => `${step.part}: ${step.name}, ${step.says}${spec.links[i]?.isBroken ? ` (${spec.links[i]!.label ?? w.broken})` : ""}`,
  );
  return finishPicture("chain", spec, { widthPx, heightPx }, `${spec.caption} ${told.join(" → ")}.`, parts.join(""));
}

function smallProfile(step: ChainStep, left: number, top: number, widthPx: number): string {
  const { x: xs, y: quantity, lines } = step.profile!;
  const seen = extent(...lines) ?? [0, 1];
  const [low, high] =
    seen[0] === seen[1] ? (seen[0] === 0 ? [0, 1] : niceRange(Math.min(0, seen[0]), Math.max(0, seen[0]), 3)) : niceRange(Math.min(0, seen[0]), seen[1], 3);
  const marks = niceTicks(low, high, 3);
  const labels = marks.values.map((value) => formatNumber(value, marks.decimals));
  const room = Math.max(...labels.map((label) => textWidthPx(label, 13))) + 8;
  const xRange = extent(xs.values) ?? [0, 1];
  const x = linearScale(xRange[0], xRange[1], left + room, left + widthPx - 22);
  const y = linearScale(low, high, top + PLOT_PX, top + 4);
  const ends = niceTicks(xRange[0], xRange[1], 4);
  const parts = marks.values.map(
    (value, i) =>
      line(left + room, y(value), left + widthPx, y(value), { class: "grid" }) +
      words(left + room - 6, y(value) + 4.5, labels[i]!, { class: "end soft", "font-size": 13 }),
  );
  parts.push(words(left, top - 10, fitText(axisTitle(quantity), widthPx, 13), { class: "soft", "font-size": 13 }));
  parts.push(...ends.values.map((value) => words(x(value), top + PLOT_PX + 18, formatNumber(value, ends.decimals), { class: "mid soft", "font-size": 13 })));
  parts.push(words(left + widthPx, top + PLOT_PX + 36, fitText(axisTitle(xs), widthPx, 13), { class: "end soft", "font-size": 13 }));
  parts.push(line(left + room, top + PLOT_PX, left + widthPx, top + PLOT_PX, { class: "axis" }));
  lines.forEach((values) => {
    const points = Array.from(xs.values, (at, i) => [x(at), y(values[i] ?? Number.NaN)] as const);
    parts.push(el("path", { class: "pen", d: pathThrough(points) }));
  });
  return el("g", { class: step.isDead ? "break" : "accent" }, ...parts);
}

function arrow(left: number, y: number, link: ChainSpec["links"][number], w: DrawingWords): string {
  const [from, to] = [left + 16, left + ARROW_PX - 14];
  const head = `M${px(to - 10)} ${px(y - 7)}L${px(to)} ${px(y)}L${px(to - 10)} ${px(y + 7)}`;
  if (!link.isBroken) return el("path", { class: "pen heavy", d: `M${px(from)} ${px(y)}H${px(to)}${head}` });
  const middle = (from + to) / 2;
  const label = wrapText(link.label ?? w.broken, ARROW_PX - 6, 13);
  return el(
    "g",
    { class: "break" },
    el("path", { class: "pen heavy", d: `M${px(from)} ${px(y)}H${px(middle - 9)}` }),
    el("path", { class: "pen heavy faint dots", d: `M${px(middle + 10)} ${px(y)}H${px(to)}${head}` }),
    el("path", {
      class: "pen heavy",
      d: `M${px(middle - 8)} ${px(y + 11)}L${px(middle - 1)} ${px(y - 11)}M${px(middle + 2)} ${px(y + 11)}L${px(middle + 9)} ${px(y - 11)}`,
    }),
    ...label.map((text, i) => words(middle, y + 32 + i * 16, text, { class: "mid breakText", "font-size": 13 })),
  );
}
