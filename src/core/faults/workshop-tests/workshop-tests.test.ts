import { expect, test } from "vitest";
import type { FaultId } from "../../result/index.ts";
import { decidingTest, outcomeProbability, outcomesOf, rankTests, WORKSHOP_TESTS, type WorkshopTest } from "./index.ts";

test.each(WORKSHOP_TESTS.map((t) => [t.id, t as WorkshopTest] as const))("%s: every row of outcomes sums to 1 and names only its own outcomes", (_, t) => {
  for (const row of [t.otherwise, ...Object.values(t.under)]) {
    expect(Object.values(row).reduce((s, p) => s + p, 0)).toBeCloseTo(1, 9);
    expect(Object.keys(row).sort()).toEqual([...t.outcomes].sort());
  }
  expect(t.minutes).toBeGreaterThan(0);
  expect(t.cautions.length).toBeGreaterThan(0);
});

test("the test that decides between two stories is the trade's", () => {
  expect(decidingTest(WORKSHOP_TESTS, "air.unmetered-leak", "healthy")?.id).toBe("smoke-test");
  expect(decidingTest(WORKSHOP_TESTS, "sensor.map-bias", "healthy")?.id).toBe("map-against-barometer");
  expect(decidingTest(WORKSHOP_TESTS, "air.meter-low", "fuel.injector-flow-mismatch")?.id).toBe("meter-swap");
  expect(decidingTest(WORKSHOP_TESTS, "air.throttle-restricted", "healthy")?.id).toBe("throttle-inspection");
});

test("expected information is at most the entropy and nothing when all is known", () => {
  const even = new Map<FaultId, number>([
    ["healthy", 0.5],
    ["air.unmetered-leak", 0.5],
  ]);
  for (const { bits } of rankTests(WORKSHOP_TESTS, even)) expect(bits).toBeLessThanOrEqual(1);
  const known = new Map<FaultId, number>([["healthy", 1]]);
  for (const { bits } of rankTests(WORKSHOP_TESTS, known)) expect(bits).toBeCloseTo(0, 12);
  // A perfect test between two even stories gives one bit; this one misses 8 % and 7 %: 1 − H by hand 0.62.
  const smoke = rankTests(WORKSHOP_TESTS, even).find((r) => r.test.id === "smoke-test")!;
  const p = 0.5 * (outcomeProbability(smoke.test, "air.unmetered-leak", "leak") + outcomeProbability(smoke.test, "healthy", "leak"));
  const entropy = (x: number): number => -x * Math.log2(x) - (1 - x) * Math.log2(1 - x);
  expect(smoke.bits).toBeCloseTo(entropy(p) - 0.5 * (entropy(0.08) + entropy(0.07)), 9);
});

test("outcomes on the intake sheet are read, and what was not done is not an outcome", () => {
  const engine = { displacementL: 2, cylinders: 4 };
  expect(outcomesOf({ engine, observations: { smokeTest: "not done", fuelPressureKpaAtLoad: null } })).toEqual([]);
  expect(outcomesOf({ engine, observations: { smokeTest: "leak" } })[0]).toMatchObject({ test: "smoke-test", outcome: "leak" });
  expect(outcomesOf({ engine, fuel: { railPressureKpa: 400 }, observations: { fuelPressureKpaAtLoad: 310 } })[0]).toMatchObject({
    outcome: "falls under load",
  });
  expect(outcomesOf({ engine, fuel: { railPressureKpa: 400 }, observations: { fuelPressureKpaAtLoad: 395 } })[0]).toMatchObject({ outcome: "holds" });
  expect(outcomesOf({ engine, observations: { workshopTests: { "thermostat-check": "opens where it should" } } })[0]).toMatchObject({
    test: "thermostat-check",
  });
});
