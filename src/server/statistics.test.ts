import { expect, test } from "vitest";
import { blocksOf, statisticsOf } from "./statistics.ts";
import { pyramidOf, windowOf } from "./windows.ts";

const timeS = Float64Array.from({ length: 101 }, (_, i) => i / 10);

test("statistics of a straight line are those of a straight line", () => {
  const values = timeS.map((t) => 3 + 2 * t);
  const found = statisticsOf("rpm", blocksOf({ timeS, values }), { fromS: 2, toS: 4, atS: 2.05 });
  expect(found.mean).toBeCloseTo(9, 9);
  expect(found.slopePerS).toBeCloseTo(2, 9);
  expect([found.least, found.greatest]).toEqual([7, 11]);
  expect(found.at).toBeCloseTo(7, 9);
  // Standard deviation of n equally spaced values: step · sqrt((n² − 1)/12).
  expect(found.sd).toBeCloseTo(0.2 * Math.sqrt((21 ** 2 - 1) / 12), 6);
});

test("a span without samples has no figures", () => {
  const values = timeS.map(() => Number.NaN);
  expect(statisticsOf("map", blocksOf({ timeS, values }), { fromS: 0, toS: 9, atS: 1 })).toEqual({
    id: "map",
    mean: null,
    sd: null,
    least: null,
    greatest: null,
    slopePerS: null,
    at: null,
  });
  expect(statisticsOf("map", undefined, { fromS: 0, toS: 9, atS: undefined }).mean).toBeNull();
});

test("a long series cut into blocks has the statistics of its samples, at any ends", () => {
  const n = 30_000;
  const long = Float64Array.from({ length: n }, (_, i) => 1e6 + i / 20);
  const values = Float64Array.from({ length: n }, (_, i) => (i % 7 === 0 ? Number.NaN : 500 + Math.sin(i / 40) + 1e-4 * i));
  const kept = blocksOf({ timeS: long, values });
  for (const [first, last] of [
    [0, n - 1],
    [4095, 4097],
    [3, 20_011],
  ] as const) {
    const rows = Array.from({ length: last - first + 1 }, (_, k) => first + k).filter((i) => !Number.isNaN(values[i]!));
    const mean = rows.reduce((sum, i) => sum + values[i]!, 0) / rows.length;
    const meanT = rows.reduce((sum, i) => sum + (long[i]! - 1e6), 0) / rows.length;
    const slope =
      rows.reduce((sum, i) => sum + (long[i]! - 1e6 - meanT) * (values[i]! - mean), 0) / rows.reduce((sum, i) => sum + (long[i]! - 1e6 - meanT) ** 2, 0);
    const found = statisticsOf("rpm", kept, { fromS: long[first]!, toS: long[last]!, atS: long[last]! });
    expect(found.mean).toBeCloseTo(mean, 9);
    expect(found.sd).toBeCloseTo(Math.sqrt(rows.reduce((sum, i) => sum + (values[i]! - mean) ** 2, 0) / rows.length), 9);
    expect(found.slopePerS).toBeCloseTo(slope, 7);
    expect(found.greatest).toBe(Math.max(...rows.map((i) => values[i]!)));
    expect(found.at).toBe(values[rows.at(-1)!]);
  }
});

test("a spike of one sample is never lost, however many samples a pixel stands for", () => {
  const n = 1_000_000;
  const long = Float64Array.from({ length: n }, (_, i) => i / 20);
  const values = new Float64Array(n).fill(1);
  values[654_321] = 99;
  values[123] = Number.NaN;
  const pyramid = pyramidOf(long, values);
  for (const width of [37, 800, 1400]) {
    const shown = windowOf(pyramid, 0, n / 20, width);
    expect(Math.max(...shown.subarray(width))).toBe(99);
    expect(Math.max(...shown.subarray(0, width))).toBe(1);
  }
  expect(windowOf(pyramid, 654_321 / 20 - 0.01, 654_321 / 20 + 0.01, 1)[1]).toBe(99);
});
