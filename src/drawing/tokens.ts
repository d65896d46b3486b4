import { hexOf, type OkLab, okLch } from "./colour.ts";
import { differenceScale, valueScale } from "./scales-of-colour.ts";

/** Colours of one theme. Words stand in `ink` and `inkSoft`; lines that mean something in `line` or stronger. */
export interface Theme {
  readonly name: "paper" | "bay";
  readonly ground: string;
  /** A shade off the ground, for panels and table heads. */
  readonly groundRaised: string;
  readonly ink: string;
  readonly inkSoft: string;
  readonly line: string;
  /** Grid lines and rules that only order the page. */
  readonly hairline: string;
  readonly accent: string;
  readonly stop: string;
  readonly fix: string;
  readonly watch: string;
  readonly note: string;
  /** Ends of the scale of differences. */
  readonly less: string;
  readonly more: string;
  /** Tint behind the span that is evidence. */
  readonly evidence: string;
  /** Lines of signals, by slot. */
  readonly signals: readonly string[];
}

const SIGNAL_HUES_DEG = [250, 50, 165, 345, 105, 295, 25, 210];

function signalColours(lightness: number, chroma: number): string[] {
  return SIGNAL_HUES_DEG.map((hue) => hexOf(okLch(lightness, chroma, hue)));
}

const lessOnPaper: OkLab = okLch(0.47, 0.17, 310);
const moreOnPaper: OkLab = okLch(0.62, 0.16, 55);
const lessInBay: OkLab = okLch(0.68, 0.15, 310);
const moreInBay: OkLab = okLch(0.74, 0.15, 62);

/** Warm paper, near-black ink. Also what is printed. */
export const PAPER: Theme = {
  name: "paper",
  ground: "#f8f4ea",
  groundRaised: "#f0eadb",
  ink: "#1f1c17",
  inkSoft: "#4b463b",
  line: "#857d6c",
  hairline: "#ddd5c3",
  accent: "#0b5a5f",
  stop: "#a0201f",
  fix: "#8a4a08",
  watch: "#5a4d8a",
  note: "#5c564a",
  less: hexOf(lessOnPaper),
  more: hexOf(moreOnPaper),
  evidence: "#e3e6d6",
  signals: signalColours(0.47, 0.105),
};

/** A dim bay: deep blue-green-black ground, warm light ink. */
export const BAY: Theme = {
  name: "bay",
  ground: "#0f1c1f",
  groundRaised: "#17282b",
  ink: "#efe7d6",
  inkSoft: "#c8bfad",
  line: "#7d8b89",
  hairline: "#2a3d40",
  accent: "#74cbc6",
  stop: "#ff8d7d",
  fix: "#f0b160",
  watch: "#b9aef0",
  note: "#b8b0a0",
  less: hexOf(lessInBay),
  more: hexOf(moreInBay),
  evidence: "#1f393a",
  signals: signalColours(0.77, 0.1),
};

/** The four sizes of type [px]. */
export const TYPE_PX = { small: 13, text: 17, lead: 22, title: 36 } as const;
/** Size of words inside pictures [px]. */
export const LABEL_PX = 14;

export const FONT_WORDS = `"Atkinson Hyperlegible Next","Atkinson Hyperlegible",Verdana,"DejaVu Sans",sans-serif`;
export const FONT_FIGURES = `"Atkinson Hyperlegible Mono","DejaVu Sans Mono","Liberation Mono",Consolas,monospace`;

function declarations(theme: Theme): string {
  const differences = differenceScale(theme.ground, theme.name === "paper" ? lessOnPaper : lessInBay, theme.name === "paper" ? moreOnPaper : moreInBay);
  const pairs: [string, string][] = [
    ["ground", theme.ground],
    ["raised", theme.groundRaised],
    ["ink", theme.ink],
    ["soft", theme.inkSoft],
    ["line", theme.line],
    ["hair", theme.hairline],
    ["accent", theme.accent],
    ["stop", theme.stop],
    ["fix", theme.fix],
    ["watch", theme.watch],
    ["note", theme.note],
    ["evidence", theme.evidence],
    ...theme.signals.map((colour, i): [string, string] => [`g${i}`, colour]),
    ...differences.less.map((colour, i): [string, string] => [`l${i + 1}`, colour]),
    ...differences.more.map((colour, i): [string, string] => [`m${i + 1}`, colour]),
  ];
  return pairs.map(([name, colour]) => `--${name}:${colour}`).join(";");
}

/** Custom properties of both themes: paper by default and in print, bay where a dark screen is preferred or asked for. */
export function themeCss(): string {
  const values = valueScale()
    .map((colour, i) => `--v${i}:${colour}`)
    .join(";");
  return [
    `:root{color-scheme:light;${values};${declarations(PAPER)};--words:${FONT_WORDS};--figures:${FONT_FIGURES}}`,
    `@media screen{:root[data-theme="bay"]{color-scheme:dark;${declarations(BAY)}}}`,
    `@media screen and (prefers-color-scheme:dark){:root:not([data-theme="paper"]){color-scheme:dark;${declarations(BAY)}}}`,
  ].join("\n");
}
