import { describe, expect, test } from "vitest";
import { WORKSHOP_TESTS } from "../faults/index.ts";
import { FAULTS } from "../result/index.ts";
import { remeasureAfter } from "./after-repair.ts";

const TESTS = new Set<string>(WORKSHOP_TESTS.map((test) => test.id));

describe("what to measure again after a repair", () => {
  test.each(FAULTS.filter((fault) => fault !== "healthy"))("%s has a list, with a recording in it and tests that exist", (fault) => {
    const list = remeasureAfter(fault);
    expect(list.some((item) => item.by !== "test")).toBe(true);
    for (const item of list) expect(item.by === "test" ? TESTS.has(item.test!) : item.test === undefined).toBe(true);
  });

  test("full load only with the caution that belongs to it", () => {
    const sweeps = FAULTS.flatMap((fault) => remeasureAfter(fault)).filter((item) => item.by === "sweep");
    expect(sweeps.length).toBeGreaterThan(0);
    for (const sweep of sweeps) expect(sweep.what).toMatch(/dynamometer or closed course.*lift/);
  });

  test("a sound vehicle and an unknown word ask for nothing", () => {
    expect(remeasureAfter("healthy")).toEqual([]);
    expect(remeasureAfter("toString")).toEqual([]);
  });
});
