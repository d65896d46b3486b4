import { describe, expect, test } from "vitest";
import { seededRandom } from "../../../base/index.ts";
import { fitInjectors } from "./injector-fit.ts";
import type { InjectorSamples } from "./injector-samples.ts";

const NEUTRAL = { flow: 1, deadTime: 1, both: 0.3 };

/** A drive written down by hand: idle, cruise and load, an engine whose fuel residual is that of the injectors and noise. */
function drive(
  seed: number,
  real: { flowLn: number; shiftMs: number; power?: number; noise?: number },
  span: readonly [number, number] = [0, 1],
): InjectorSamples {
  const random = seededRandom(seed);
  const n = 500;
  const column = (value: (i: number) => number): Float64Array => Float64Array.from({ length: n }, (_, i) => value(i));
  const load = column(() => span[0] + (span[1] - span[0]) * random.uniform() ** 2);
  const rpm = load.map((share) => 700 + 3500 * share * random.between(0.6, 1));
  const openMs = load.map((share) => 1.3 + 11 * share);
  const batteryV = column(() => random.between(12.8, 14.4));
  return {
    n,
    fuelLn: column((i) => {
      const perMs = (14 / batteryV[i]!) ** (real.power ?? 1.2) / openMs[i]!;
      return -real.flowLn - Math.log(1 - real.shiftMs * perMs) + (real.noise ?? 0.012) * random.normal();
    }),
    modelLn: column(() => 0.01 * random.normal()),
    openMs,
    batteryV,
    vacuumKpa: load.map((share) => 70 * (1 - share)),
    rpm,
    loadFraction: load.map((share) => 0.3 + 0.7 * share),
    airflowGps: openMs.map((open, i) => (open * rpm[i]!) / 500),
    usesMeter: column((i) => (rpm[i]! > 2000 ? 1 : 0)),
    coldness: column(() => 0),
    weight: column(() => 1),
  };
}

describe("injectors from fuel residual over pulse width", () => {
  test.each([
    ["more flow", { flowLn: 0.15, shiftMs: 0 }],
    ["less flow", { flowLn: -0.2, shiftMs: 0 }],
    ["later", { flowLn: 0, shiftMs: 0.25 }],
    ["sooner", { flowLn: 0, shiftMs: -0.2 }],
    ["both", { flowLn: 0.12, shiftMs: 0.2 }],
  ])("%s: what was planted comes back, and the story is named", (name, real) => {
    const fit = fitInjectors(drive(11, real), NEUTRAL)!;
    // Sound air tables are believed to about a percent and a half: no fit can know the flow better.
    expect(Math.abs(fit.flowLn - real.flowLn)).toBeLessThan(0.03);
    expect(Math.abs(fit.shiftMs(14) - real.shiftMs)).toBeLessThan(0.05);
    const story = name === "both" ? fit.shares.both : real.shiftMs === 0 ? fit.shares.flow : fit.shares.deadTime;
    expect(story).toBeGreaterThan(0.5);
  });

  test("no residual, no change", () => {
    const fit = fitInjectors(drive(12, { flowLn: 0, shiftMs: 0 }), NEUTRAL)!;
    expect(Math.abs(fit.flowLn)).toBeLessThan(0.01);
    expect(Math.abs(fit.shiftMs(14))).toBeLessThan(0.02);
  });

  test("the 90 % intervals hold the truth in most of twenty drives, and not in a way that says nothing", () => {
    let flowHeld = 0;
    let shiftHeld = 0;
    for (let seed = 100; seed < 120; seed++) {
      const random = seededRandom(seed);
      const real = seed % 2 === 0 ? { flowLn: random.between(-0.2, 0.2), shiftMs: 0 } : { flowLn: 0, shiftMs: random.between(-0.25, 0.35) };
      const fit = fitInjectors(drive(seed, real), NEUTRAL)!;
      if (Math.abs(fit.flowLn - real.flowLn) <= 1.645 * fit.flowSdLn) flowHeld++;
      if (Math.abs(fit.shiftMs(14) - real.shiftMs) <= 1.645 * fit.shiftSdMs(14)) shiftHeld++;
      expect(fit.flowSdLn).toBeLessThan(0.05);
      expect(fit.shiftSdMs(14)).toBeLessThan(0.08);
    }
    expect(flowHeld).toBeGreaterThanOrEqual(16);
    expect(shiftHeld).toBeGreaterThanOrEqual(16);
  });

  test("a drive that holds only idle cannot tell flow from dead time, and says so", () => {
    const wide = fitInjectors(drive(13, { flowLn: 0.1, shiftMs: 0 }), NEUTRAL)!;
    const idleOnly = fitInjectors(drive(13, { flowLn: 0.1, shiftMs: 0 }, [0, 0.01]), NEUTRAL)!;
    expect(idleOnly.shiftSdMs(14)).toBeGreaterThan(2 * wide.shiftSdMs(14));
  });

  test("the order of samples in time is nothing to it, but for how many of them are worth one", () => {
    const samples = drive(14, { flowLn: 0.1, shiftMs: 0.1 });
    const order = Array.from({ length: samples.n }, (_, i) => (i * 211) % samples.n);
    const shuffled = Object.fromEntries(
      Object.entries(samples).map(([name, values]) => [name, values instanceof Float64Array ? Float64Array.from(order, (i) => values[i]!) : values]),
    ) as unknown as InjectorSamples;
    const [one, other] = [fitInjectors(samples, NEUTRAL)!, fitInjectors(shuffled, NEUTRAL)!];
    expect(Math.abs(one.flowLn - other.flowLn)).toBeLessThan(0.005);
    expect(Math.abs(one.shiftMs(14) - other.shiftMs(14))).toBeLessThan(0.01);
  });

  test("the shift grows as voltage falls, and so does its doubt", () => {
    const fit = fitInjectors(drive(15, { flowLn: 0, shiftMs: 0.25 }), NEUTRAL)!;
    expect(fit.shiftMs(8)).toBeGreaterThan(1.4 * fit.shiftMs(14));
    expect(fit.shiftSdMs(8)).toBeGreaterThan(fit.shiftSdMs(14));
  });

  test("too little steady running gives no fit", () => {
    const samples = drive(16, { flowLn: 0.1, shiftMs: 0 });
    expect(fitInjectors({ ...samples, n: 20 }, NEUTRAL)).toBeUndefined();
  });
});
