import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { f64 } from "../../base/index.ts";
import { makeTimeBase, unitOfTime } from "./time.ts";

describe("time base", () => {
  it("starts at nought and is left alone when sound", () => {
    const base = makeTimeBase(f64(5, 5.1, 5.25), false);
    expect([...base.timeS].map((value) => Number(value.toFixed(9)))).toEqual([0, 0.1, 0.25]);
    expect(base.order).toBeUndefined();
    expect(base.repairs).toEqual([]);
  });
  it("passes midnight on a clock", () => {
    const base = makeTimeBase(f64(86399, 86399.5, 0, 0.5), true);
    expect([...base.timeS]).toEqual([0, 0.5, 1, 1.5]);
    expect(base.repairs).toEqual(["clock passes midnight: carried on into the next day"]);
  });
  it("goes on after the clock was set back, and says that the gap is not known", () => {
    const base = makeTimeBase(f64(0, 1, 2, 3, 4, 5, 6, 0, 1, 2, 3), false);
    expect([...base.timeS]).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
    expect(base.repairs[0]).toMatch(/clock set back 1 time, first at 6\.00 s/);
  });
  it("sorts swapped rows", () => {
    const base = makeTimeBase(f64(0, 0.2, 0.1, 0.3), false);
    expect([...base.order!]).toEqual([0, 2, 1, 3]);
  });
  it("one stray stamp is sorted, not taken for a reset", () => {
    const base = makeTimeBase(f64(0, 1, 2, 3, 4, 5, 6, 1.5, 8, 9, 10), false);
    expect(base.repairs[0]).toMatch(/time runs backwards in 1 row/);
    expect(base.timeS.at(-1)).toBe(10);
  });
  it("joins a few equal stamps, spreads many", () => {
    const few = makeTimeBase(f64(0, 1, 1, 2, 3, 4, 5, 6, 7, 8), false);
    expect(few.timeS.length).toBe(9);
    expect(few.merged).toEqual([[1, 2]]);
    const many = makeTimeBase(f64(0, 0, 1, 1, 2, 2, 3, 3), false);
    expect([...many.timeS]).toEqual([0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5]);
  });
  it("is strictly ascending whatever comes in", () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.double({ min: 0, max: 1e5, noNaN: false }), fc.integer({ min: 0, max: 20 })), { maxLength: 60 }),
        fc.boolean(),
        (numbers, isClock) => {
          const { timeS } = makeTimeBase(Float64Array.from(numbers), isClock);
          for (let i = 1; i < timeS.length; i++) expect(timeS[i]!).toBeGreaterThan(timeS[i - 1]!);
        },
      ),
      { numRuns: 500, seed: 5 },
    );
  });
});

describe("unit of bare times, by their steps", () => {
  it.each([
    [[0, 0.05, 0.1], "s"],
    [[0, 1, 2], "s"],
    [[0, 50, 101], "ms"],
    [[0, 50000, 100000], "µs"],
    [[45000.1, 45000.1 + 0.1 / 86400, 45000.1 + 0.2 / 86400], "days"],
  ] as const)("%j are %s", (numbers, unit) => expect(unitOfTime(Float64Array.from(numbers)).unit).toBe(unit));
});
