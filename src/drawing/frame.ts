import { formatNumber } from "./numbers.ts";
import { axisTitle, type Quantity } from "./picture.ts";
import { labelsThatFit, niceTicks, rowsThatFit, type Scale } from "./scale.ts";
import { line, px, words } from "./svg.ts";
import { fitText, textWidthPx } from "./text-width.ts";
import { LABEL_PX } from "./tokens.ts";

/** Where the data is drawn [px]. */
export interface PlotArea {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

export interface TickMarks {
  readonly values: readonly number[];
  readonly labels: readonly string[];
}

/** Round ticks for a scale, about one every `everyPx`. */
export function roundTicks(scale: Scale, everyPx: number): TickMarks {
  const { values, decimals } = niceTicks(scale.low, scale.high, Math.max(2, Math.abs(scale.toPx - scale.fromPx) / everyPx));
  return { values, labels: values.map((value) => formatNumber(value, decimals)) };
}

/** Room that the labels of a vertical axis need left of it. */
export function labelRoomPx(marks: TickMarks): number {
  return Math.max(...marks.labels.map((label) => textWidthPx(label, LABEL_PX)), 20) + 12;
}

/** Horizontal axis below the area: baseline, ticks, labels where they fit, name and unit. */
export function bottomAxis(area: PlotArea, scale: Scale, marks: TickMarks, quantity?: Quantity, grid = false): string {
  const positions = marks.values.map(scale);
  const fits = labelsThatFit(positions, marks.labels, LABEL_PX);
  const parts: string[] = [];
  if (grid) parts.push(...positions.map((x) => line(x, area.top, x, area.bottom, { class: "grid" })));
  parts.push(line(area.left, area.bottom, area.right, area.bottom, { class: "axis" }));
  positions.forEach((x, i) => {
    parts.push(line(x, area.bottom, x, area.bottom + (fits[i] ? 6 : 3), { class: "axis" }));
    if (fits[i]) parts.push(words(x, area.bottom + 21, marks.labels[i]!, { class: "mid" }));
  });
  if (quantity !== undefined) {
    const title = fitText(axisTitle(quantity), area.right - area.left + 40, LABEL_PX);
    parts.push(words(area.right, area.bottom + 42, title, { class: "soft end" }));
  }
  return parts.join("");
}

/** Vertical axis left of the area: rules across, labels where they fit, name and unit lying flat above it. */
export function leftAxis(
  area: PlotArea,
  scale: Scale,
  marks: TickMarks,
  quantity?: Quantity,
  options: { grid?: boolean; titleWidthPx?: number; titleY?: number } = {},
): string {
  const positions = marks.values.map(scale);
  const fits = rowsThatFit(positions, LABEL_PX);
  const parts: string[] = [];
  positions.forEach((y, i) => {
    if (options.grid !== false) parts.push(line(area.left, y, area.right, y, { class: "grid" }));
    else parts.push(line(area.left - (fits[i] ? 6 : 3), y, area.left, y, { class: "axis" }));
    if (fits[i]) parts.push(words(area.left - 9, y + 5, marks.labels[i]!, { class: "end" }));
  });
  if (quantity !== undefined) {
    const width = options.titleWidthPx ?? area.right;
    parts.push(words(1.5, options.titleY ?? area.top - 14, fitText(axisTitle(quantity), width, LABEL_PX), { class: "soft" }));
  }
  return parts.join("");
}

/** Names at the right end of lines, pushed apart so that none touches another; joined to its line where it had to move. */
export function endLabels(
  x: number,
  labels: readonly { readonly y: number; readonly text: string; readonly className?: string }[],
  within: { top: number; bottom: number },
  widthPx: number,
): string {
  const sorted = labels
    .filter(({ text }) => text !== "")
    .map((label, index) => ({ ...label, index, at: label.y }))
    .sort((a, b) => a.y - b.y || a.index - b.index);
  const spacing = LABEL_PX + 4;
  for (let i = 0; i < sorted.length; i++) sorted[i]!.at = Math.max(sorted[i]!.at, i === 0 ? within.top + 5 : sorted[i - 1]!.at + spacing);
  for (let i = sorted.length - 1; i >= 0; i--) sorted[i]!.at = Math.min(sorted[i]!.at, i === sorted.length - 1 ? within.bottom : sorted[i + 1]!.at - spacing);
  return sorted
    .map(({ y, at, text, className }) => {
      const moved = Math.abs(at - y) > 3;
      const lead = moved ? `<path class="grid" d="M${px(x + 3)} ${px(y)}L${px(x + 12)} ${px(at)}"/>` : "";
      return lead + words(x + 15, at + 5, fitText(text, widthPx - 15, LABEL_PX), { class: className ?? "name" });
    })
    .join("");
}
