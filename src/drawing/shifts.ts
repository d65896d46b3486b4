import { bottomAxis, roundTicks } from "./frame.ts";
import { formatSigned } from "./numbers.ts";
import { finishPicture, type Picture, type PictureSpec } from "./picture.ts";
import { linearScale } from "./scale.ts";
import { el, line, words } from "./svg.ts";
import { fitText, textWidthPx } from "./text-width.ts";
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
/** Beyond this the axis stops; a shift further out stands at its edge. */
const FURTHEST = 12;

/** How far each figure has moved, in spreads, about the band in which a thing that did not change moves anyway. */
export function shifts(spec: ShiftsSpec): Picture {
  const widthPx = spec.widthPx ?? 960;
  const rows = spec.shifts.filter(({ spreads }) => Number.isFinite(spreads));
  const heightPx = 40 + ROW_PX * rows.length + 52;
  const nameRoom = Math.min(0.42 * widthPx, Math.max(60, ...rows.map(({ name }) => textWidthPx(name, LABEL_PX))) + 14);
  const saysRoom = Math.min(0.24 * widthPx, Math.max(40, ...rows.map(({ says }) => textWidthPx(says, LABEL_PX))) + 14);
  const reach = Math.min(FURTHEST, Math.max(spec.ordinary + 1, ...rows.map(({ spreads }) => Math.abs(spreads)))) * 1.05;
  const area = { left: nameRoom, top: 32, right: widthPx - saysRoom, bottom: heightPx - 52 };
  const x = linearScale(-reach, reach, area.left, area.right);
  const within = (spreads: number): number => x(Math.max(-reach, Math.min(reach, spreads)));
  const [from, to] = [x(-spec.ordinary), x(spec.ordinary)];
  const body = [
    el("rect", { class: "dwell", x: from, y: area.top, width: to - from, height: area.bottom - area.top, opacity: 0.16 }),
    words((from + to) / 2, area.top - 10, fitText(spec.ordinaryName, area.right - area.left, LABEL_PX), { class: "soft mid" }),
    bottomAxis(area, x, roundTicks(x, 70), { name: spec.axis, unit: "" }),
    line(x(0), area.top, x(0), area.bottom, { class: "zero" }),
    ...rows.map(({ name, spreads, says }, i) => {
      const y = area.top + (i + 0.5) * ROW_PX;
      const hasMoved = Math.abs(spreads) > spec.ordinary;
      return el(
        "g",
        hasMoved ? { class: "accent" } : {},
        words(area.left - 8, y + 5, fitText(name, nameRoom - 12, LABEL_PX), { class: hasMoved ? "end strong" : "end" }),
        line(x(0), y, within(spreads), y, { class: hasMoved ? "pen heavy" : "pen" }),
        el("circle", { class: "spot", cx: within(spreads), cy: y, r: hasMoved ? 5.5 : 4 }),
        words(area.right + 10, y + 5, fitText(says, saysRoom - 12, LABEL_PX)),
      );
    }),
  ];
  const told = rows.map(({ name, spreads, says }) => `${name} ${says} (${formatSigned(spreads, 1)})`).join("; ");
  return finishPicture("shifts", spec, { widthPx, heightPx }, `${spec.caption} ${spec.axis}: ${told}.`, body.join(""));
}
