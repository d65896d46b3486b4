const NARROW = new Set("iljI|.,:;'!()[]ftr ·");
const WIDE = new Set("mwMWÄÖ%@—→…−+±×=<>");

/** Upper estimate of a line's width [px]; no font is measured, so that it holds for the fall-back fonts as well. */
export function textWidthPx(text: string, sizePx: number): number {
  let ems = 0;
  for (const letter of text) {
    if (NARROW.has(letter)) ems += 0.4;
    else if (WIDE.has(letter)) ems += 0.95;
    else if (letter >= "A" && letter <= "Z") ems += 0.7;
    else ems += 0.64;
  }
  return ems * sizePx;
}

/** The text, cut to a width with an ellipsis where it must be. */
export function fitText(text: string, widthPx: number, sizePx: number): string {
  if (textWidthPx(text, sizePx) <= widthPx) return text;
  let kept = text;
  while (kept.length > 1 && textWidthPx(`${kept}…`, sizePx) > widthPx) kept = kept.slice(0, -1);
  return `${kept.trimEnd()}…`;
}

/** The text broken into lines at spaces. */
export function wrapText(text: string, widthPx: number, sizePx: number): string[] {
  const lines: string[] = [];
  let current = "";
  for (const word of text.split(" ")) {
    const longer = current === "" ? word : `${current} ${word}`;
    if (current !== "" && textWidthPx(longer, sizePx) > widthPx) {
      lines.push(current);
      current = word;
    } else current = longer;
  }
  if (current !== "") lines.push(current);
  return lines;
}
