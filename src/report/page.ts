import type { Severity } from "../core/result/index.ts";
import { severityMark } from "../drawing/index.ts";
import { breakable, paragraph, tag, text } from "./html.ts";
import type { Fonts } from "./model.ts";
import { reportCss } from "./style.ts";
import type { Caution, Texts } from "./texts/index.ts";

/** A section of the book. Each block is kept together in print where it fits a page, the first with the heading above it. */
export interface Section {
  readonly id: string;
  readonly heading: string;
  /** A sentence or two under the heading. */
  readonly lead: string;
  /** HTML, in order. A section with neither lead nor blocks is left out. */
  readonly blocks: readonly string[];
  /** A station without material: said in a sentence, drawn as an open knot. */
  readonly isVoid?: boolean;
  /** Gravest finding in it: its shape becomes the knot. */
  readonly severity?: Severity;
  readonly className?: string;
}

export function page(spec: {
  readonly title: string;
  readonly footer: string;
  readonly header: string;
  readonly sections: readonly Section[];
  readonly texts: Texts;
  readonly fonts: Fonts;
  readonly theme?: "paper" | "bay";
}): string {
  const shown = spec.sections.filter((section) => section.lead !== "" || section.blocks.length > 0);
  const theme = spec.theme === undefined ? "" : ` data-theme="${spec.theme}"`;
  return [
    `<!doctype html>\n<html lang="${spec.texts.language}"${theme}>\n<head>\n<meta charset="utf-8">`,
    `<meta name="viewport" content="width=device-width,initial-scale=1">`,
    `<meta name="color-scheme" content="light dark">`,
    `<title>${text(spec.title)}</title>`,
    `<style>\n${reportCss(spec.fonts, spec.footer)}\n</style>\n</head>\n<body>\n<div class="book">`,
    spine(shown, spec.texts),
    tag("main", spec.header, ...shown.map(sectionHtml)),
    "</div>\n</body>\n</html>\n",
  ].join("\n");
}

function spine(sections: readonly Section[], texts: Texts): string {
  const knots = sections.map((section) => {
    const mark = section.severity === undefined ? `<i class="knot"></i>` : severityMark(section.severity);
    return `<li class="${section.isVoid ? "void" : "full"}"><a href="#${section.id}">${mark}<span>${text(section.heading)}</span></a></li>`;
  });
  return `<nav class="spine" aria-label="${text(texts.contents)}"><ol>${knots.join("")}</ol></nav>`;
}

function sectionHtml(section: Section): string {
  const className = section.className === undefined ? "" : ` class="${section.className}"`;
  const heading = `<h2 id="${section.id}-h">${text(section.heading)}</h2>${paragraph(section.lead)}`;
  const [first, ...rest] = section.blocks.filter((block) => block !== "");
  const blocks = [`${heading}${first ?? ""}`, ...rest].map((block) => `<div class="keep">${block}</div>`);
  return `<section id="${section.id}"${className} aria-labelledby="${section.id}-h">\n${blocks.join("\n")}\n</section>\n`;
}

export function cautionHtml(caution: Caution): string {
  return `<aside class="caution"><h3>${text(caution.title)}</h3><ul>${caution.lines.map((line) => `<li>${text(line)}</li>`).join("")}</ul></aside>`;
}

/** Lines of a margin: a label and a value each. */
export function aside(pairs: readonly (readonly [string, string | undefined])[]): string {
  const lines = pairs
    .filter(([, value]) => value !== undefined && value !== "")
    .map(([label, value]) => `<p>${label === "" ? "" : `<b>${text(label)}</b>`}<span class="val">${breakable(value!)}</span></p>`);
  return lines.length === 0 ? "" : tag('div class="aside"', ...lines);
}

/** Words beside their margin. */
export function row(words: string, margin: string): string {
  return `<div class="row"><div class="text">${words}</div>${margin}</div>`;
}
