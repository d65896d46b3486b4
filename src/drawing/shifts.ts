import { bottomAxis, roundTicks } from "./frame.ts";
import { formatSigned } from "./numbers.ts";
import { finishPicture, type Picture, type PictureSpec } from "./picture.ts";
import { linearScale } from "./scale.ts";
import { el, line, words } from "./svg.ts";
import { fitText, textWidthPx, wrapText } from "./text-width.ts";
import { LABEL_PX } from "./tokens.ts";

/** A figure and how far it lies from where it was, in its own spreads. */
export interface Shift {
  readonly name: string;
  readonly spreads: number;
  /** Written at the right: the shift in its own unit. */
  readonly says: string;
}

export interface ShiftsSpec extends PictureSpec {
  readonly shifts: readonly Shift[];
  /** Name of the horizontal axis. */
  readonly axis: string;
  /** Within so many spreads a figure is where it was. */
  readonly ordinary: number;
  /** What the shaded band means. */
  readonly ordinaryName: string;
}

const ROW_PX = 27;
/** A name that needs two lines makes its row higher. */
const LINE_PX = LABEL_PX + 3;
const MOST_LINES = 2;
/** Beyond this the axis stops; a shift further out stands at its edge. */
const FURTHEST = 12;

/** How far each figure has moved, in spreads, about the band in which a thing that did not change moves anyway. */
export function shifts(spec: ShiftsSpec): Picture {
  const widthPx = spec.widthPx ?? 960;
  const rows = spec.shifts.filter(({ spreads }) => Number.isFinite(spreads));
  const nameRoom = Math.min(0.38 * widthPx, Math.max(60, ...rows.map(({ name }) => textWidthPx(name, LABEL_PX))) + 14);
  const names = rows.map(({ name }) => linesOf(name, nameRoom - 12));
  const tops = [0];
  for (const lines of names) tops.push(tops.at(-1)! + ROW_PX + (lines.length - 1) * LINE_PX);
  const heightPx = 32 + tops.at(-1)! + 60;
  const saysRoom = Math.min(0.24 * widthPx, Math.max(40, ...rows.map(({ says }) => textWidthPx(says, LABEL_PX))) + 14);
  const reach = Math.min(FURTHEST, Math.max(spec.ordinary + 1, ...rows.map(({ spreads }) => Math.abs(spreads)))) * 1.05;
  const area = { left: nameRoom, top: 32, right: widthPx - saysRoom, bottom: 32 + tops.at(-1)! };
  const x = linearScale(-reach, reach, area.left, area.right);
  const within = (spreads: number): number => x(Math.max(-reach, Math.min(reach, spreads)));
  const [from, to] = [x(-spec.ordinary), x(spec.ordinary)];
  const body = [
    el("rect", { class: "dwell", x: from, y: area.top, width: to - from, height: area.bottom - area.top, opacity: 0.16 }),
    words((from + to) / 2, area.top - 10, fitText(spec.ordinaryName, area.right - area.left, LABEL_PX), { class: "soft mid" }),
    bottomAxis(area, x, roundTicks(x, 70), { name: spec.axis, unit: "" }),
    line(x(0), area.top, x(0), area.bottom, { class: "zero" }),
    ...rows.map(({ spreads, says }, i) => {
      const y = area.top + (tops[i]! + tops[i + 1]!) / 2;
      const lines = names[i]!;
      const hasMoved = Math.abs(spreads) > spec.ordinary;
      return el(
        "g",
        hasMoved ? { class: "accent" } : {},
        ...lines.map((text, k) => words(area.left - 8, y + 5 + (k - (lines.length - 1) / 2) * LINE_PX, text, { class: hasMoved ? "end strong" : "end" })),
        line(x(0), y, within(spreads), y, { class: hasMoved ? "pen heavy" : "pen" }),
        el("circle", { class: "spot", cx: within(spreads), cy: y, r: hasMoved ? 5.5 : 4 }),
        words(area.right + 10, y + 5, fitText(says, saysRoom - 12, LABEL_PX)),
      );
    }),
  ];
  const told = rows.map(({ name, spreads, says }) => `${name} ${says} (${formatSigned(spreads, 1)})`).join("; ");
  return finishPicture("shifts", spec, { widthPx, heightPx }, `${spec.caption} ${spec.axis}: ${told}.`, body.join(""));
}

function linesOf(name: string, roomPx: number): readonly string[] {
  const lines = wrapText(name, roomPx, LABEL_PX);
  const kept = lines.length <= MOST_LINES ? lines : [...lines.slice(0, MOST_LINES - 1), lines.slice(MOST_LINES - 1).join(" ")];
  return kept.map((line) => fitText(line, roomPx, LABEL_PX));
}
