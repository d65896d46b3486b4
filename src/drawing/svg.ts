/** Building of SVG text. Numbers are rounded to a tenth of a pixel, text is escaped, nothing depends on a page. */
export type Attributes = Readonly<Record<string, string | number | undefined>>;

export function escapeXml(text: string): string {
  return text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(/"/g, "&quot;");
}

/** A number as SVG writes it: at most one decimal, no "-0". */
export function px(value: number): string {
  const rounded = Math.round(value * 10) / 10;
  return String(rounded === 0 ? 0 : rounded);
}

/** One element; children are SVG already. */
export function el(name: string, attributes: Attributes = {}, ...children: readonly string[]): string {
  const written = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => ` ${key}="${typeof value === "number" ? px(value) : escapeXml(value!)}"`)
    .join("");
  const inside = children.join("");
  return inside === "" ? `<${name}${written}/>` : `<${name}${written}>${inside}</${name}>`;
}

/** A line of words at a point. */
export function words(x: number, y: number, text: string, attributes: Attributes = {}): string {
  return el("text", { x, y, ...attributes }, escapeXml(text));
}

export function line(x1: number, y1: number, x2: number, y2: number, attributes: Attributes = {}): string {
  return el("path", { d: `M${px(x1)} ${px(y1)}L${px(x2)} ${px(y2)}`, ...attributes });
}

/** Path through points; a point that is not finite breaks it. */
export function pathThrough(points: Iterable<readonly [number, number]>, close = false): string {
  let d = "";
  let pen = false;
  for (const [x, y] of points) {
    if (!Number.isFinite(x) || !Number.isFinite(y)) {
      pen = false;
      continue;
    }
    d += `${pen ? "L" : "M"}${px(x)} ${px(y)}`;
    pen = true;
  }
  return close && d !== "" ? `${d}Z` : d;
}
