import { decimalsFor, formatNumber, formatSigned } from "./numbers.ts";
import { unitAfter } from "./picture.ts";
import { DIFFERENCE_STEPS, VALUE_STEPS } from "./scales-of-colour.ts";
import { el, words } from "./svg.ts";
import { fitText, textWidthPx } from "./text-width.ts";
import { LABEL_PX } from "./tokens.ts";
import type { DrawingWords } from "./words.ts";

export interface LegendSpec {
  readonly id: string;
  readonly mode: "value" | "difference";
  readonly title: string;
  readonly unit: string;
  readonly low: number;
  readonly high: number;
  readonly isSaturated: boolean;
  readonly solidityWords?: readonly [string, string, string, string];
  readonly words: DrawingWords;
}

const BAR_PX = 128;
const ROW_PX = 26;

/** Items set in rows: scale with its ends and unit, the mark of an unchanged cell, the steps of solidity. */
export function legend(spec: LegendSpec, widthPx: number): string {
  return placed(spec, widthPx)
    .map(({ item, x, row }) => item.draw(x, row * ROW_PX))
    .join("");
}

export function legendHeightPx(spec: LegendSpec, widthPx: number): number {
  return (Math.max(0, ...placed(spec, widthPx).map(({ row }) => row)) + 1) * ROW_PX;
}

interface Item {
  readonly widthPx: number;
  readonly draw: (x: number, y: number) => string;
}

function placed(spec: LegendSpec, widthPx: number): { item: Item; x: number; row: number }[] {
  let x = 0;
  let row = 0;
  return items(spec, widthPx).map((item) => {
    if (x > 0 && x + item.widthPx > widthPx) {
      x = 0;
      row++;
    }
    const at = { item, x, row };
    x += item.widthPx + 22;
    return at;
  });
}

function items(spec: LegendSpec, widthPx: number): Item[] {
  const list = [titleItem(spec, widthPx), scaleItem(spec)];
  if (spec.mode === "difference") list.push(unchangedItem(spec.words));
  spec.solidityWords?.forEach((text, level) => {
    if (text !== "") list.push(solidityItem(spec, text, level));
  });
  return list;
}

/** Bold letters are a little wider than the estimate allows for. */
const BOLD = 1.08;

function titleItem(spec: LegendSpec, widthPx: number): Item {
  const title = fitText(spec.title.charAt(0).toUpperCase() + spec.title.slice(1), widthPx, LABEL_PX * BOLD);
  return { widthPx: textWidthPx(title, LABEL_PX * BOLD) - 8, draw: (x, y) => words(x, y + 15, title, { class: "strong" }) };
}

function scaleItem(spec: LegendSpec): Item {
  const { mode, low, high } = spec;
  const decimals = decimalsFor(Math.max(Math.abs(low), Math.abs(high)), mode === "difference" ? 2 : 3);
  const write = mode === "difference" ? formatSigned : formatNumber;
  const lowText = write(low, decimals);
  const highText = `${unitAfter(write(high, decimals), spec.unit)}${spec.isSaturated ? ` ${spec.words.orMore}` : ""}`;
  const [lowPx, highPx] = [lowText, highText].map((text) => textWidthPx(text, LABEL_PX)) as [number, number];
  return {
    widthPx: lowPx + 6 + BAR_PX + 6 + highPx,
    draw: (x, y) => {
      const barX = x + lowPx + 6;
      return [
        words(barX - 6, y + 15, lowText, { class: "end" }),
        ...barSteps(mode).map((className, i, all) =>
          el("rect", { class: className, x: barX + (i * BAR_PX) / all.length, y: y + 3, width: BAR_PX / all.length + 0.4, height: 15 }),
        ),
        words(barX + BAR_PX + 6, y + 15, highText),
      ].join("");
    },
  };
}

function barSteps(mode: LegendSpec["mode"]): string[] {
  if (mode === "value") return Array.from({ length: VALUE_STEPS }, (_, i) => `v${i}`);
  const steps = Array.from({ length: DIFFERENCE_STEPS }, (_, i) => i + 1);
  return [...steps.map((i) => `l${DIFFERENCE_STEPS + 1 - i}`), "empty", ...steps.map((i) => `m${i}`)];
}

function swatch(x: number, y: number, className: string): string {
  return el("rect", { class: className, x, y: y + 3, width: 22, height: 15 });
}

function unchangedItem(w: DrawingWords): Item {
  return {
    widthPx: 28 + textWidthPx(w.unchanged, LABEL_PX),
    draw: (x, y) => swatch(x, y, "cell empty") + el("circle", { class: "same", cx: x + 11, cy: y + 10.5, r: 1.4 }) + words(x + 28, y + 15, w.unchanged),
  };
}

function solidityItem(spec: LegendSpec, text: string, level: number): Item {
  const fill = spec.mode === "value" ? `v${Math.round(VALUE_STEPS * 0.45)}` : `m${DIFFERENCE_STEPS - 3}`;
  return {
    widthPx: 28 + textWidthPx(text, LABEL_PX),
    draw: (x, y) => {
      const overlay = level < 3 ? el("rect", { fill: `url(#${spec.id}-h${level})`, x, y: y + 3, width: 22, height: 15 }) : "";
      return swatch(x, y, `cell ${fill}`) + overlay + words(x + 28, y + 15, text);
    },
  };
}
