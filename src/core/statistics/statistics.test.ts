import { describe, expect, it } from "vitest";
import { seededRandom } from "../../base/index.ts";
import {
  autocorrelation,
  chiSquareCdf,
  correlationTime,
  cubicWeights,
  effectiveSamplesOfFirstOrder,
  factorSkyline,
  fieldOnGrid,
  goldenSection,
  huberWeight,
  inverseDiagonal,
  isotonicFit,
  linearWeights,
  logDeterminant,
  nelderMead,
  normalCdf,
  normalQuantile,
  robustSd,
  samplesPerIndependent,
  studentTCdf,
  studentTQuantile,
  tukeyWeight,
  weightedMedian,
} from "./index.ts";

describe("distributions", () => {
  // scipy 1.17.1, norm.ppf, t.ppf, chi2.cdf (run, values copied); agrees with printed tables (1.9600, 12.706, 2.571, 1.812, 2.750).
  it("gives quantiles of the normal law", () => {
    for (const [p, z] of [
      [0.9, 1.2815515655446004],
      [0.95, 1.6448536269514722],
      [0.975, 1.959963984540054],
      [0.995, 2.5758293035489004],
      [1e-6, -4.753424308822899],
    ] as const)
      expect(normalQuantile(p)).toBeCloseTo(z, 10);
  });

  it("gives quantiles of Student's t, whole and broken degrees of freedom", () => {
    for (const [p, degrees, t] of [
      [0.975, 1, 12.706204736174694],
      [0.975, 5, 2.5705818356363146],
      [0.95, 10, 1.8124611228116756],
      [0.995, 30, 2.7499956535672254],
      [0.95, 2.5, 2.5582186141359355],
    ] as const) {
      expect(studentTQuantile(p, degrees)).toBeCloseTo(t, 8);
      expect(studentTCdf(t, degrees)).toBeCloseTo(p, 12);
    }
  });

  it("gives probabilities of chi-square", () => {
    for (const [x, degrees, p] of [
      [3.841458820694124, 1, 0.95],
      [18.30703805327515, 10, 0.95],
      [5, 4, 0.7127025048163542],
    ] as const)
      expect(chiSquareCdf(x, degrees)).toBeCloseTo(p, 12);
  });

  it("turns back on itself", () => {
    for (const z of [-7, -3, -0.4, 0, 1, 2.5]) expect(normalQuantile(normalCdf(z))).toBeCloseTo(z, 6);
  });
});

describe("robust measures", () => {
  it("see the spread of the good values among wild ones", () => {
    const random = seededRandom(3);
    const values = Float64Array.from({ length: 2000 }, (_, i) => (i % 10 === 0 ? 50 : random.normal()));
    // A tenth of wild values on one side moves the median absolute deviation by 13 % (normal law), not by a factor.
    expect(robustSd(values)).toBeGreaterThan(0.95);
    expect(robustSd(values)).toBeLessThan(1.25);
  });

  it("weigh by Huber and by Tukey", () => {
    expect(huberWeight(1)).toBe(1);
    expect(huberWeight(-2.69)).toBeCloseTo(0.5, 12);
    expect(tukeyWeight(0)).toBe(1);
    expect(tukeyWeight(-5)).toBe(0);
  });

  it("take a median with weights", () => {
    expect(weightedMedian([3, 1, 2, Number.NaN], [1, 1, 5, 9])).toBe(2);
    expect(weightedMedian([], [])).toBeNaN();
  });
});

describe("isotonic fit", () => {
  it("pools what falls", () => {
    expect([...isotonicFit([1, 3, 2, 4])]).toEqual([1, 2.5, 2.5, 4]);
    expect([...isotonicFit([5, 4, 3], [1, 1, 2])]).toEqual([3.75, 3.75, 3.75]);
  });

  it("is nearer than any other rising sequence tried", () => {
    const random = seededRandom(8);
    const values = Array.from({ length: 30 }, (_, i) => 0.1 * i + random.normal());
    const fitted = isotonicFit(values);
    const misfit = (other: ArrayLike<number>): number => values.reduce((sum, v, i) => sum + (v - other[i]!) ** 2, 0);
    for (let trial = 0; trial < 200; trial++) {
      const other = Float64Array.from(fitted, (v) => v + 0.05 * random.normal()).sort();
      expect(misfit(fitted)).toBeLessThanOrEqual(misfit(other) + 1e-12);
    }
  });
});

describe("samples that are not independent", () => {
  // Worked numbers PH-21a and PH-21b of the formula sheet.
  it("counts those of a first-order process (PH-21)", () => {
    expect(effectiveSamplesOfFirstOrder(1000, 0.9)).toBeCloseTo(52.63158, 4);
    expect(correlationTime(1 / 20, 0.9)).toBeCloseTo(0.474561, 6);
  });

  it("finds from a series what the formula gives for the process that made it", () => {
    const random = seededRandom(11);
    for (const r of [0.5, 0.9]) {
      let state = 0;
      const series = Float64Array.from({ length: 60_000 }, () => (state = r * state + Math.sqrt(1 - r * r) * random.normal()));
      expect(autocorrelation(series, 1)).toBeCloseTo(r, 1);
      const expected = (1 + r) / (1 - r);
      // The sum of correlations of 60,000 samples scatters by about a tenth.
      expect(samplesPerIndependent(series) / expected).toBeGreaterThan(0.8);
      expect(samplesPerIndependent(series) / expected).toBeLessThan(1.25);
      const gaps = series.map((v, i) => (i % 50 < 5 ? Number.NaN : v));
      expect(samplesPerIndependent(gaps) / expected).toBeGreaterThan(0.75);
    }
  });
});

describe("search for the least", () => {
  it("of one number", () => {
    expect(goldenSection((x) => (x - 0.3) ** 2, -1, 2, 1e-8).at).toBeCloseTo(0.3, 6);
  });

  it("of several, along a curved valley", () => {
    const valley = (x: Float64Array): number => 100 * (x[1]! - x[0]! ** 2) ** 2 + (1 - x[0]!) ** 2;
    const best = nelderMead(valley, [-1.2, 1], [0.5, 0.5], { tolerance: 1e-14, evaluations: 2000 });
    expect(best.at[0]).toBeCloseTo(1, 3);
    expect(best.at[1]).toBeCloseTo(1, 3);
  });
});

describe("reading between nodes", () => {
  it("linear: shares that sum to one, ends held", () => {
    expect(linearWeights([0, 1, 3], 2)).toEqual({ first: 1, weights: [0.5, 0.5, 0, 0] });
    expect(linearWeights([0, 1, 3], 9)).toEqual({ first: 1, weights: [0, 1, 0, 0] });
  });

  it("cubic: exact for parabolas on uneven nodes, also in the end intervals", () => {
    const nodes = [0, 1, 2.5, 3, 5, 9];
    const parabola = (x: number): number => 2 - 3 * x + 0.7 * x * x;
    for (const x of [0, 0.4, 1, 1.7, 2.9, 4.2, 6, 8.9, 9]) {
      const { first, weights } = cubicWeights(nodes, x);
      expect(weights.reduce((sum, w, k) => sum + (w === 0 ? 0 : w * parabola(nodes[first + k]!)), 0)).toBeCloseTo(parabola(x), 10);
    }
    for (const few of [[4], [4, 5], [4, 5, 7]]) expect(cubicWeights(few, 4.5).weights.reduce((a, b) => a + b)).toBeCloseTo(1, 12);
  });
});

describe("smooth fields", () => {
  const axis = (n: number): number[] => Array.from({ length: n }, (_, i) => i / (n - 1));

  it("have the deviation asked for in the middle of a fine grid", () => {
    const { matrix } = fieldOnGrid(axis(41), axis(41))({ sd: 0.05, rangeX: 0.1, rangeY: 0.1 });
    const variance = inverseDiagonal(factorSkyline(matrix)!);
    // Theory holds on an endless plane; a grid of four nodes a range is a few percent off.
    expect(Math.sqrt(variance[20 * 41 + 20]!) / 0.05).toBeGreaterThan(0.93);
    expect(Math.sqrt(variance[20 * 41 + 20]!) / 0.05).toBeLessThan(1.07);
    const line = fieldOnGrid(axis(101))({ sd: 2, rangeX: 0.05 });
    expect(Math.sqrt(inverseDiagonal(factorSkyline(line.matrix)!)[50]!)).toBeCloseTo(2, 1);
  });

  it("say their own determinant", () => {
    for (const [x, y] of [
      [axis(6), axis(5)],
      [axis(9), [0]],
      [[0, 0.1, 0.5, 1], axis(3)],
    ] as const) {
      const { matrix, logDet } = fieldOnGrid(x, y)({ sd: 0.3, rangeX: 0.4, rangeY: 0.2 });
      expect(logDet).toBeCloseTo(logDeterminant(factorSkyline(matrix)!), 8);
    }
  });
});
