import { describe, expect, it } from "vitest";
import { contrastRatio, distance, hexOf, isShowable, type OkLab, okLabOf } from "./colour.ts";
import { DIFFERENCE_STEPS, differenceScale, differenceStep, VALUE_STEPS, valueColour, valueScale, valueStep } from "./scales-of-colour.ts";
import { BAY, PAPER, type Theme } from "./tokens.ts";

describe("OKLab", () => {
  // Source: W3C CSS Color Module Level 4, which gives red as oklab(0.628 0.2249 0.1258) (from memory); white is (1, 0, 0) by construction.
  it("gives the published coordinates of white and red", () => {
    const white = okLabOf("#ffffff");
    expect(white.lightness).toBeCloseTo(1, 4);
    expect(Math.hypot(white.a, white.b)).toBeLessThan(1e-3);
    const red = okLabOf("#ff0000");
    expect(red.lightness).toBeCloseTo(0.628, 3);
    expect(red.a).toBeCloseTo(0.2249, 3);
    expect(red.b).toBeCloseTo(0.1258, 3);
  });

  it("goes to the screen's colours and back without loss", () => {
    for (const hex of ["#000000", "#1f1c17", "#0b5a5f", "#f8f4ea", "#7d8b89", "#ff8d7d"]) expect(hexOf(okLabOf(hex))).toBe(hex);
  });
});

describe("contrast", () => {
  // Source: WCAG 2.2. Black on white is 21:1 by the definition; #767676 on white is the grey usually quoted as just reaching 4.5:1 (common practice).
  it("is that of the accessibility guidelines", () => {
    expect(contrastRatio("#000000", "#ffffff")).toBeCloseTo(21, 6);
    expect(contrastRatio("#767676", "#ffffff")).toBeGreaterThan(4.5);
    expect(contrastRatio("#777777", "#ffffff")).toBeLessThan(4.5);
  });

  for (const theme of [PAPER, BAY])
    describe(theme.name, () => {
      it("sets words at 7:1 or better on both grounds", () => {
        for (const word of [theme.ink, theme.inkSoft])
          for (const ground of [theme.ground, theme.groundRaised]) expect(contrastRatio(word, ground)).toBeGreaterThanOrEqual(7);
        expect(contrastRatio(theme.accent, theme.ground)).toBeGreaterThanOrEqual(7);
      });

      it("draws lines that mean something at 3:1 or better", () => {
        const lines = [theme.line, theme.stop, theme.fix, theme.watch, theme.note, theme.less, ...theme.signals];
        for (const colour of lines) expect(contrastRatio(colour, theme.ground)).toBeGreaterThanOrEqual(3);
      });
    });
});

/** Machado, Oliveira and Fernandes 2009, full protanopia and deuteranopia, on linear light (from memory). */
const BLIND: Record<string, number[][]> = {
  protan: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deutan: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
};

function seenBy(kind: string, hex: string): OkLab {
  const linear = [1, 3, 5].map((at) => (Number.parseInt(hex.slice(at, at + 2), 16) / 255) ** 2.2);
  const mixed = BLIND[kind]!.map((row) => row.reduce((sum, factor, i) => sum + factor * linear[i]!, 0));
  const bytes = mixed.map((value) => Math.round(255 * Math.min(1, Math.max(0, value)) ** (1 / 2.2)));
  return okLabOf(`#${bytes.map((byte) => byte.toString(16).padStart(2, "0")).join("")}`);
}

describe("the scale of values", () => {
  const steps = valueScale().map(okLabOf);

  it("rises in lightness from step to step", () => {
    for (let i = 1; i < steps.length; i++) expect(steps[i]!.lightness).toBeGreaterThan(steps[i - 1]!.lightness);
  });

  it("looks equally wide everywhere: no step differs from the mean by more than 30 %", () => {
    const sizes = steps.slice(1).map((step, i) => distance(step, steps[i]!));
    const mean = sizes.reduce((sum, size) => sum + size, 0) / sizes.length;
    for (const size of sizes) expect(Math.abs(size / mean - 1)).toBeLessThan(0.3);
  });

  it("can be shown without clipping", () => {
    for (let i = 0; i <= 20; i++) expect(isShowable(valueColour(i / 20))).toBe(true);
  });

  it.each(Object.keys(BLIND))("keeps its order for %s eyes", (kind) => {
    const seen = valueScale().map((hex) => seenBy(kind, hex));
    for (let i = 1; i < seen.length; i++) expect(seen[i]!.lightness).toBeGreaterThan(seen[i - 1]!.lightness);
  });

  it("gives no step where there is no value", () => {
    expect(valueStep(Number.NaN, 0, 1)).toBeUndefined();
    expect(valueStep(0, 0, 1)).toBe(0);
    expect(valueStep(1, 0, 1)).toBe(VALUE_STEPS - 1);
  });
});

describe("the scale of differences", () => {
  it("never draws a change like no change, and saturates at its limit", () => {
    expect(differenceStep(0, 10)).toBe(0);
    expect(differenceStep(1e-9, 10)).toBe(1);
    expect(differenceStep(-1e-9, 10)).toBe(-1);
    expect(differenceStep(1e9, 10)).toBe(DIFFERENCE_STEPS);
    expect(differenceStep(-4, 10)).toBe(-differenceStep(4, 10)!);
  });

  const ends = (theme: Theme) => differenceScale(theme.ground, okLabOf(theme.less), okLabOf(theme.more));

  it.each([PAPER, BAY])("moves away from the ground step by step ($name)", (theme) => {
    for (const side of [ends(theme).less, ends(theme).more]) {
      const away = side.map((hex) => distance(okLabOf(hex), okLabOf(theme.ground)));
      for (let i = 1; i < away.length; i++) expect(away[i]!).toBeGreaterThan(away[i - 1]!);
    }
  });

  it.each(Object.keys(BLIND))("tells less from more for %s eyes", (kind) => {
    for (const theme of [PAPER, BAY]) expect(distance(seenBy(kind, theme.less), seenBy(kind, theme.more))).toBeGreaterThan(0.15);
  });
});
