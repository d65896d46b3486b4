import { existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Fonts } from "../report/index.ts";

const require = createRequire(import.meta.url);
const FILES = {
  words: "@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-400-normal.woff2",
  wordsBold: "@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-700-normal.woff2",
  figures: "@fontsource/atkinson-hyperlegible-mono/files/atkinson-hyperlegible-mono-latin-400-normal.woff2",
  figuresBold: "@fontsource/atkinson-hyperlegible-mono/files/atkinson-hyperlegible-mono-latin-700-normal.woff2",
} as const;

/** The report's fonts as base64; what is not installed is left out, and the reader's own fonts serve. */
export function reportFonts(): Fonts {
  const fonts: Record<string, string> = {};
  for (const [use, file] of Object.entries(FILES)) {
    const path = resolved(file);
    if (path !== undefined && existsSync(path)) fonts[use] = readFileSync(path).toString("base64");
  }
  return fonts;
}

function resolved(file: string): string | undefined {
  try {
    return require.resolve(file);
  } catch {
    return undefined;
  }
}
