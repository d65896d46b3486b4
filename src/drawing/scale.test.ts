import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { contours } from "./contours.ts";
import { decimate } from "./decimate.ts";
import { decimalsOf, formatNumber, formatSigned, formatWithInterval } from "./numbers.ts";
import { cellEdges, labelsThatFit, niceRange, niceTicks } from "./scale.ts";
import { fitText, textWidthPx } from "./text-width.ts";

describe("ticks", () => {
  it("are round, within the range, and not more than asked for", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
        fc.integer({ min: 2, max: 12 }),
        (low, span, most) => {
          const { values, step } = niceTicks(low, low + span, most);
          for (const value of values) {
            expect(value).toBeGreaterThanOrEqual(low - 1e-6 * span);
            expect(value).toBeLessThanOrEqual(low + span + 1e-6 * span);
          }
          expect(values.length).toBeLessThanOrEqual(most + 1);
          const leading = step / 10 ** Math.floor(Math.log10(step) + 1e-9);
          expect([1, 2, 5, 10].some((factor) => Math.abs(leading - factor) < 1e-6)).toBe(true);
        },
      ),
    );
  });

  it("widen a range to its ends and survive a range of nothing", () => {
    expect(niceRange(3.2, 96.5, 5)).toEqual([0, 100]);
    const [low, high] = niceRange(7, 7, 5);
    expect(high).toBeGreaterThan(low);
  });

  it("never let labels touch", () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.integer({ min: 0, max: 900 }), fc.integer({ min: 0, max: 99999 })), { maxLength: 40 }), (pairs) => {
        const sorted = [...pairs].sort((a, b) => a[0] - b[0]);
        const positions = sorted.map(([at]) => at);
        const labels = sorted.map(([, value]) => String(value));
        const kept = labelsThatFit(positions, labels, 14);
        let lastEnd = Number.NEGATIVE_INFINITY;
        positions.forEach((at, i) => {
          if (!kept[i]) return;
          expect(at - textWidthPx(labels[i]!, 14) / 2).toBeGreaterThanOrEqual(lastEnd);
          lastEnd = at + textWidthPx(labels[i]!, 14) / 2;
        });
      }),
    );
  });
});

describe("cells", () => {
  it("are as wide as their breakpoints are apart, and together cover the axis without a gap", () => {
    expect(cellEdges([400, 600, 1000, 2000])).toEqual([300, 500, 800, 1500, 2500]);
    expect(cellEdges([5])).toEqual([4.5, 5.5]);
  });
});

describe("numbers", () => {
  it("carry no more digits than their interval supports", () => {
    expect(formatWithInterval(9.31, 0.21)).toBe("9.3 ± 0.2");
    expect(formatWithInterval(9.314, 0.012)).toBe("9.314 ± 0.012");
    expect(formatWithInterval(1234, 56)).toBe("1234 ± 56");
  });

  it("have a true minus, no signed zero, and a dash for nothing", () => {
    expect(formatNumber(-2.345, 1)).toBe("−2.3");
    expect(formatNumber(-0.001, 1)).toBe("0.0");
    expect(formatSigned(2, 0)).toBe("+2");
    expect(formatSigned(0, 1)).toBe("0.0");
    expect(formatNumber(Number.NaN, 1)).toBe("–");
  });

  it("keep the decimals that a table needs to tell its breakpoints apart", () => {
    expect(decimalsOf([400, 600, 800])).toBe(0);
    expect(decimalsOf([0.1, 0.15, 0.2])).toBe(2);
  });
});

describe("a thinned series", () => {
  it("keeps the least and the greatest sample of every pixel: a spike of one sample is never lost", () => {
    fc.assert(
      fc.property(fc.integer({ min: 500, max: 3000 }), fc.integer({ min: 5, max: 300 }), fc.integer({ min: 0, max: 1e6 }), (n, pixels, seed) => {
        const timeS = Float64Array.from({ length: n }, (_, i) => i * 0.05);
        const values = timeS.map((s, i) => Math.sin(s) + (((i * 7919 + seed) % 1000) / 1000) * 0.1);
        values[(seed * 31) % n] = 50;
        const toS = timeS[n - 1]!;
        const points = decimate(timeS, values, { fromS: 0, toS }, pixels);
        expect(points.length).toBeLessThanOrEqual(4 * (pixels + 1) + 1);
        const perPixelS = toS / pixels;
        for (let column = 0; column < pixels; column++) {
          const inside = (at: number): boolean => Math.floor(at / perPixelS) === column;
          const all = Array.from(values).filter((_, i) => inside(timeS[i]!));
          const kept = points
            .filter((point) => inside(point.timeS))
            .map((point) => point.value)
            .filter(Number.isFinite);
          if (all.length === 0) continue;
          expect(Math.min(...kept)).toBe(Math.min(...all));
          expect(Math.max(...kept)).toBe(Math.max(...all));
        }
      }),
      { numRuns: 25 },
    );
  });

  it("bridges the blanks of a slow channel, and breaks where the signal was silent", () => {
    const timeS = Float64Array.from({ length: 400 }, (_, i) => i * 0.1);
    const slow = timeS.map((_, i) => (i % 4 === 0 ? i : Number.NaN));
    const breaks = (values: Float64Array): number => decimate(timeS, values, { fromS: 0, toS: 40 }, 2000).filter((point) => Number.isNaN(point.value)).length;
    expect(breaks(slow)).toBe(0);
    expect(breaks(slow.map((value, i) => (i > 100 && i < 200 ? Number.NaN : value)))).toBe(1);
  });
});

describe("contours", () => {
  const axis = Float64Array.from({ length: 21 }, (_, i) => i / 10 - 1);

  it("of a plane lie where the plane has their level", () => {
    const cells = Array.from(axis, (y) => Array.from(axis, (x) => 2 * x + 3 * y)).flat();
    for (const contour of contours(axis, axis, cells, [-1.3, 0.4, 2.2])) {
      expect(contour.closed).toBe(false);
      for (const [x, y] of contour.points) expect(2 * x + 3 * y).toBeCloseTo(contour.level, 9);
    }
  });

  it("of a hill close round its top, one line a level", () => {
    const cells = Array.from(axis, (y) => Array.from(axis, (x) => x * x + y * y)).flat();
    const found = contours(axis, axis, cells, [0.5]);
    expect(found).toHaveLength(1);
    expect(found[0]!.closed).toBe(true);
    for (const [x, y] of found[0]!.points) expect(Math.hypot(x, y)).toBeCloseTo(Math.SQRT1_2, 1);
  });

  it("leave out what is not known", () => {
    const cells = new Float64Array(axis.length * axis.length).fill(Number.NaN);
    expect(contours(axis, axis, cells, [0])).toEqual([]);
  });
});

describe("text", () => {
  it("is cut to fit with an ellipsis", () => {
    const cut = fitText("Manifold absolute pressure [kPa]", 90, 14);
    expect(cut.endsWith("…")).toBe(true);
    expect(textWidthPx(cut, 14)).toBeLessThanOrEqual(90);
    expect(fitText("kPa", 90, 14)).toBe("kPa");
  });
});
