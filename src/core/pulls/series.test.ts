import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { f64, seededRandom } from "../../base/index.ts";
import { smoothCurve } from "./local-quadratic.ts";
import { blockMeans, fillBetween, laggedSeries, localSlope, withoutSpikes } from "./series.ts";

const clock = (n: number, stepS: number): Float64Array => Float64Array.from({ length: n }, (_, i) => i * stepS);

describe("series", () => {
  it("fills between samples and holds the ends", () => {
    expect([...fillBetween(f64(0, 1, 2, 3), f64(Number.NaN, 10, Number.NaN, 30), f64(0, 1.5, 2, 4))]).toEqual([10, 15, 20, 30]);
    expect([...fillBetween(f64(0, 1), f64(Number.NaN, Number.NaN), f64(0))]).toEqual([Number.NaN]);
  });

  it("answers a step as a first-order lag does, and a ramp with the ramp behind by the lag", () => {
    const t = clock(400, 0.01);
    const step = laggedSeries(
      t,
      t.map((s) => (s > 1 ? 1 : 0)),
      0.1,
    );
    expect(step[110]!).toBeCloseTo(1 - Math.exp(-1), 1);
    const ramp = laggedSeries(
      t,
      t.map((s) => 5 * s),
      0.1,
    );
    expect(ramp[399]!).toBeCloseTo(5 * (t[399]! - 0.1), 6);
  });

  it("gives the same lagged ramp at any spacing", () => {
    fc.assert(
      fc.property(fc.double({ min: 0.005, max: 0.2, noNaN: true }), (stepS) => {
        const t = clock(Math.ceil(3 / stepS), stepS);
        const lagged = laggedSeries(t, t, 0.1);
        expect(lagged.at(-1)!).toBeCloseTo(t.at(-1)! - 0.1 + 0.1 * Math.exp(-t.at(-1)! / 0.1), 9);
      }),
    );
  });

  it("finds the slope of a parabola exactly", () => {
    const t = clock(100, 0.05);
    const slope = localSlope(
      t,
      t.map((s) => 3 + 2 * s - 0.7 * s * s),
      0.4,
    );
    for (const i of [0, 30, 99]) expect(slope[i]!).toBeCloseTo(2 - 1.4 * t[i]!, 8);
  });

  it("bridges a spike and leaves a step and a long cut alone", () => {
    const random = seededRandom(4);
    const calm = Float64Array.from({ length: 200 }, (_, i) => 3000 + i + 10 * random.normal());
    const spiked = calm.slice();
    spiked[50] = 4500;
    spiked[120] = 0;
    spiked[121] = 100;
    const mended = withoutSpikes(spiked);
    expect(mended.rows).toEqual([50, 120, 121]);
    for (const row of mended.rows) expect(Math.abs(mended.values[row]! - calm[row]!)).toBeLessThan(60);
    const cut = calm.map((f, i) => (i >= 80 && i < 90 ? 0.6 * f : i >= 150 ? 0.5 * f : f));
    expect(withoutSpikes(cut).rows).toEqual([]);
  });

  it("brings a fast recording to means of neighbours and leaves a slow one", () => {
    const fast = { timeS: clock(100, 0.01), forceN: clock(100, 1) };
    const means = blockMeans(fast, 0.04);
    expect(means.forceN.length).toBe(25);
    expect(means.forceN[1]).toBe(5.5);
    expect(means.timeS[1]).toBeCloseTo(0.055, 9);
    const slow = { timeS: clock(10, 0.05), forceN: clock(10, 1) };
    expect(blockMeans(slow, 0.04)).toBe(slow);
  });
});

describe("smooth curve", () => {
  const bandwidths = [0.5, 0.7, 1, 1.4, 2, 2.8, 4];

  it("keeps a parabola's peak exactly, whatever the width", () => {
    const x = clock(300, 0.05);
    for (const h of bandwidths) {
      const curve = smoothCurve(
        x,
        x.map((t) => 400 - 2 * (t - 7) ** 2),
        [h],
      );
      expect(curve.at(7).value).toBeCloseTo(400, 6);
    }
  });

  it("is not misled by correlated noise into a narrow window, and its stated deviation is about right", () => {
    const x = clock(300, 0.05);
    const truth = (t: number): number => 300 - 1.2 * (t - 6) ** 2;
    const scaled: number[] = [];
    for (let seed = 1; seed <= 40; seed++) {
      const random = seededRandom(seed);
      let noise = 0;
      const y = x.map((t) => {
        noise = 0.78 * noise + Math.sqrt(1 - 0.78 ** 2) * 3 * random.normal();
        return truth(t) + noise;
      });
      const curve = smoothCurve(x, y, bandwidths);
      expect(curve.samplesPerIndependent).toBeGreaterThan(1.5);
      for (const t of [4, 8, 11]) scaled.push((curve.at(t).value - truth(t)) / curve.at(t).sd);
    }
    const rms = Math.sqrt(scaled.reduce((sum, z) => sum + z * z, 0) / scaled.length);
    expect(rms).toBeGreaterThan(0.6);
    expect(rms).toBeLessThan(1.7); // chosen from the data, so a little hopeful
  });

  it("passes outliers by", () => {
    const x = clock(300, 0.05);
    const random = seededRandom(9);
    const y = x.map((t) => 300 - (t - 7) ** 2 + random.normal());
    for (let i = 10; i < 300; i += 23) y[i]! -= 120;
    expect(Math.abs(smoothCurve(x, y, bandwidths).at(7).value - 300)).toBeLessThan(1.5);
  });
});
