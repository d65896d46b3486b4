import { expect, test } from "vitest";
import { seededRandom } from "../../base/index.ts";
import type { Fault } from "./define.ts";
import { type OperatingPoint, residualUnder } from "./deviation.ts";
import { type Facts, factsOf } from "./facts.ts";
import { expectedDeviation, honestCovariance, honestErrors, SETTINGS } from "./honest-errors.ts";
import { compareStories } from "./inference.ts";
import type { ResidualPoint } from "./points.ts";
import { FAULT_STORIES } from "./registry.ts";

const INTAKE = { engine: { displacementL: 3, cylinders: 6 }, fuel: { ethanolPercentVolume: 10 }, ambient: { pressureKpa: 100, temperatureC: 15 } };
const FACTS: Facts = {
  ...factsOf({ observations: [], calibration: undefined, reference: undefined, intake: INTAKE }),
  hasMeter: true,
  hasTrims: true,
  tablesKnown: true,
  unreferenced: new Set(),
};

function point(rpm: number, mapKpa: number, meterShare: number): OperatingPoint {
  const airflowGps = (0.75 * mapKpa * 3 * rpm) / (120 * 0.287 * 315);
  const openMs = ((airflowGps / 14.1) * 120_000) / (6 * rpm * 3.5);
  return {
    rpm,
    mapKpa,
    baroKpa: 100,
    iatK: 300,
    airflowGps,
    fuelGps: airflowGps / 14.1,
    pulseMs: openMs + 1,
    openMs,
    batteryV: 14,
    throttlePercent: 10,
    throttleMm2: airflowGps / 0.22,
    throttleSlopeMm2: 6,
    leakGpsPerMm2: mapKpa < 53 ? 0.235 : 0.235 * Math.sqrt((100 - mapKpa) / 47),
    fluxSlope: 0,
    densitySlope: 1.1,
    meterShare,
    closedLoopShare: 1,
    commandedGps: rpm < 900 ? airflowGps : Number.NaN,
    airIsMetered: true,
    bank: 0,
  };
}

const PLACES = [
  [700, 35],
  [700, 40],
  [1200, 30],
  [1600, 40],
  [1700, 60],
  [2200, 45],
  [2400, 70],
  [3000, 90],
  [4500, 96],
] as const;

/** Points of a vehicle with a story of a size, drawn with honest errors and noise as the inference believes in them. */
function drawn(seed: number, planted: { fault: Fault; size: number } | undefined, noise = 1): ResidualPoint[] {
  const random = seededRandom(seed);
  const blank = PLACES.flatMap(([rpm, map]) => [0, 1].map((meterShare) => point(rpm, map, meterShare))).flatMap((at) =>
    (["fuel", "model", "throttle", ...(at.rpm < 900 ? (["idle"] as const) : [])] as const).map((channel) => ({
      channel,
      value: 0,
      sd: noise * (channel === "throttle" ? 0.04 * at.throttleMm2 : channel === "idle" ? 0.15 : 0.012),
      at,
      effectiveCount: 20,
      seconds: 30,
      recording: "made-up.csv",
      fromS: 0,
      toS: 30,
    })),
  );
  const n = blank.length;
  const covariance = honestCovariance(blank, honestErrors(FACTS, SETTINGS[0]!));
  const factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++) covariance[i * n + i] = covariance[i * n + i]! + 1e-10;
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      let sum = covariance[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= factor[i * n + k]! * factor[j * n + k]!;
      factor[i * n + j] = i === j ? Math.sqrt(Math.max(sum, 1e-12)) : sum / factor[j * n + j]!;
    }
  const z = Float64Array.from({ length: n }, () => random.normal());
  return blank.map((p, i) => {
    let honest = 0;
    for (let k = 0; k <= i; k++) honest += factor[i * n + k]! * z[k]!;
    const story = planted === undefined ? 0 : residualUnder(p.channel, p.at, planted.fault.story!.manners[0]!.deviate(planted.size, p.at, FACTS));
    return { ...p, value: residualUnder(p.channel, p.at, expectedDeviation(p.at, FACTS)) + honest + story + p.sd * random.normal() };
  });
}

const STORIES = FAULT_STORIES.filter((fault) => fault.story !== undefined && fault.id !== "sensor.map-bias");

test.each(STORIES.map((fault) => [fault.id, fault] as const))("%s: planted at two thirds of its range it explains best in nine of ten draws", (id, fault) => {
  const { low, high } = fault.story!.size;
  const right = Array.from({ length: 10 }, (_, seed) => {
    const { stories } = compareStories(drawn(100 + seed, { fault, size: low + 0.67 * (high - low) }), FAULT_STORIES, FACTS);
    return [...stories].sort((a, b) => b[1].logEvidence - a[1].logEvidence)[0]![0] === id;
  });
  expect(right.filter(Boolean).length).toBeGreaterThanOrEqual(9);
});

test("a sound vehicle is not explained better by any story in most draws", () => {
  const worse = Array.from({ length: 20 }, (_, seed) => {
    const { stories } = compareStories(drawn(300 + seed, undefined), FAULT_STORIES, FACTS);
    return Math.max(...[...stories.values()].map((s) => s.logEvidence)) < 1;
  });
  expect(worse.filter(Boolean).length).toBeGreaterThanOrEqual(16);
});

test("the stated 90 % interval of the size holds the planted one in about 90 % of draws", () => {
  const fault = STORIES.find((f) => f.id === "air.unmetered-leak")!;
  const random = seededRandom(5);
  const draws = 60;
  let held = 0;
  for (let seed = 0; seed < draws; seed++) {
    const planted = random.between(0.15, 0.45);
    const { low, high } = compareStories(drawn(1000 + seed, { fault, size: planted }), [fault], FACTS).stories.get(fault.id)!.size;
    if (low <= planted && planted <= high) held++;
  }
  // Binomial with p = 0.9, n = 60: two standard deviations are 0.08.
  expect(held / draws).toBeGreaterThan(0.8);
});

test("more data never makes it less sure of the truth on average", () => {
  const fault = STORIES.find((f) => f.id === "fuel.injector-dead-time-mismatch")!;
  const mean = (noise: number): number => {
    let sum = 0;
    for (let seed = 0; seed < 20; seed++)
      sum += compareStories(drawn(2000 + seed, { fault, size: 0.18 }, noise), FAULT_STORIES, FACTS).stories.get(fault.id)!.logEvidence;
    return sum / 20;
  };
  const scarce = mean(3);
  const usual = mean(1);
  const plenty = mean(0.5);
  expect(usual).toBeGreaterThan(scarce);
  expect(plenty).toBeGreaterThan(usual);
});

test("two stories together explain what neither does alone", () => {
  const leak = STORIES.find((f) => f.id === "air.unmetered-leak")!;
  const flow = STORIES.find((f) => f.id === "fuel.injector-flow-mismatch")!;
  const points = drawn(7, { fault: leak, size: 0.3 }).map((p) => (p.channel === "fuel" ? { ...p, value: p.value + 0.15 } : p));
  const { stories, pairs } = compareStories(points, [leak, flow], FACTS);
  const both = pairs.get("air.unmetered-leak + fuel.injector-flow-mismatch")!;
  expect(both).toBeGreaterThan(stories.get(leak.id)!.logEvidence + 3);
  expect(both).toBeGreaterThan(stories.get(flow.id)!.logEvidence + 3);
});
