import { el, escapeXml } from "./svg.ts";
import { LABEL_PX } from "./tokens.ts";

export type PictureKind = "profile" | "field" | "relief" | "strip" | "story" | "chain" | "sweep" | "coverage" | "shifts";

/** A finished picture: SVG, the sentence below it, and the same in words for who cannot see it. */
export interface Picture {
  readonly kind: PictureKind;
  readonly id: string;
  readonly svg: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly title: string;
  readonly caption: string;
  readonly description: string;
}

/** What every picture is told. `id` must be unique in a page: patterns and clip paths are named after it. */
export interface PictureSpec {
  readonly id: string;
  /** Short name of what is drawn; becomes the accessible name. */
  readonly title: string;
  /** A sentence with the finding in it. */
  readonly caption: string;
  readonly widthPx?: number;
  readonly heightPx?: number;
}

/** A quantity along an axis, in the unit that is shown. */
export interface Quantity {
  readonly name: string;
  readonly unit: string;
}

/** "Engine speed [rpm]"; ratios and counts have no unit but say so. */
export function axisTitle({ name, unit }: Quantity): string {
  return `${name} [${unit === "" ? "–" : unit}]`;
}

export function unitAfter(text: string, unit: string): string {
  if (unit === "" || unit === "-" || unit === "–") return text;
  return unit === "°" ? `${text}°` : `${text} ${unit}`;
}

/** Wraps what was drawn: an image with a name and a description, scaling with its column. */
export function finishPicture(kind: PictureKind, spec: PictureSpec, size: { widthPx: number; heightPx: number }, description: string, body: string): Picture {
  const { id, title, caption } = spec;
  const svg = el(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      class: `pic pic-${kind}`,
      viewBox: `0 0 ${Math.round(size.widthPx)} ${Math.round(size.heightPx)}`,
      width: Math.round(size.widthPx),
      height: Math.round(size.heightPx),
      role: "img",
      "aria-labelledby": `${id}-t ${id}-d`,
      "font-size": LABEL_PX,
    },
    el("title", { id: `${id}-t` }, escapeXml(title)),
    el("desc", { id: `${id}-d` }, escapeXml(description)),
    body,
  );
  return { kind, id, svg, widthPx: size.widthPx, heightPx: size.heightPx, title, caption, description };
}
