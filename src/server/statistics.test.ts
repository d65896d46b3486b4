import { expect, test } from "vitest";
import { statisticsOf } from "./statistics.ts";
import { pyramidOf, windowOf } from "./windows.ts";

const timeS = Float64Array.from({ length: 101 }, (_, i) => i / 10);

test("statistics of a straight line are those of a straight line", () => {
  const values = timeS.map((t) => 3 + 2 * t);
  const found = statisticsOf("rpm", { timeS, values }, { fromS: 2, toS: 4, atS: 2.05 });
  expect(found.mean).toBeCloseTo(9, 9);
  expect(found.slopePerS).toBeCloseTo(2, 9);
  expect([found.least, found.greatest]).toEqual([7, 11]);
  expect(found.at).toBeCloseTo(7, 9);
  // Standard deviation of n equally spaced values: step · sqrt((n² − 1)/12).
  expect(found.sd).toBeCloseTo(0.2 * Math.sqrt((21 ** 2 - 1) / 12), 6);
});

test("a span without samples has no figures", () => {
  const values = timeS.map(() => Number.NaN);
  expect(statisticsOf("map", { timeS, values }, { fromS: 0, toS: 9, atS: 1 })).toEqual({
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
