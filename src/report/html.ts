import { escapeXml } from "../drawing/index.ts";

/** HTML text; everything a file or a person wrote passes through `text`. */
export const text = escapeXml;

/** An element around finished HTML. `open` holds the tag and its attributes: `tag('p class="lead"', …)`. */
export function tag(open: string, ...inside: readonly string[]): string {
  return `<${open}>${inside.join("")}</${open.split(" ", 1)[0]}>`;
}

/** Text with places where a long path or id may break. */
export function breakable(words: string): string {
  return text(words).replace(/([/._-])(?=[A-Za-z0-9])/g, "$1<wbr>");
}

export function paragraph(words: string, className = ""): string {
  return words === "" ? "" : tag(className === "" ? "p" : `p class="${className}"`, text(words));
}

export function bullets(items: readonly string[], className = ""): string {
  if (items.length === 0) return "";
  return tag(className === "" ? "ul" : `ul class="${className}"`, ...items.map((item) => tag("li", text(item))));
}

/** A table whose head repeats on every printed page. Cells are HTML already; `numeric` columns stand right. */
export function htmlTable(spec: {
  readonly caption: string;
  readonly heads: readonly string[];
  readonly rows: readonly (readonly string[])[];
  readonly numeric?: readonly number[];
  readonly className?: string;
}): string {
  const kind = (column: number): string => (spec.numeric?.includes(column) ? ' class="num"' : "");
  const head = spec.heads.map((name, i) => `<th scope="col"${kind(i)}>${text(name)}</th>`).join("");
  const rows = spec.rows.map(
    (cells) => `<tr>${cells.map((cell, i) => (i === 0 ? `<th scope="row"${kind(i)}>${cell}</th>` : `<td${kind(i)}>${cell}</td>`)).join("")}</tr>`,
  );
  return `<div class="scroll"><table${spec.className ? ` class="${spec.className}"` : ""}><caption class="unseen">${text(spec.caption)}</caption><thead><tr>${head}</tr></thead><tbody>${rows.join("")}</tbody></table></div>`;
}

/** A definition list from pairs; pairs without a value are left out. */
export function facts(pairs: readonly (readonly [string, string | undefined])[]): string {
  const rows = pairs
    .filter(([, value]) => value !== undefined && value !== "")
    .map(([name, value]) => `<div><dt>${text(name)}</dt><dd>${text(value!)}</dd></div>`);
  return rows.length === 0 ? "" : tag('dl class="facts"', ...rows);
}
