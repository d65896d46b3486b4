import { expect, test } from "vitest";
import { type OperatingPoint, plus, residualUnder } from "./deviation.ts";
import { leakFlux } from "./facts.ts";
import { deadTimeShift } from "./honest-errors.ts";

const IDLE: OperatingPoint = {
  rpm: 800,
  mapKpa: 40,
  baroKpa: 100,
  iatK: 298.15,
  airflowGps: 9,
  fuelGps: 0.62,
  pulseMs: 3.7568,
  openMs: 2.8568,
  batteryV: 13.8,
  throttlePercent: 8,
  throttleMm2: 38.452,
  throttleSlopeMm2: 8,
  leakGpsPerMm2: leakFlux({ baroKpa: 100, mapKpa: 40, iatK: 298.15 }),
  fluxSlope: 0,
  densitySlope: 1,
  meterShare: 1,
  closedLoopShare: 1,
  commandedGps: 9,
  airIsMetered: true,
  bank: 0,
};

test("a vehicle that differs in nothing leaves every residual at zero", () => {
  for (const channel of ["fuel", "model", "throttle", "idle", "idle-need", "map-at-rest", "map-at-full-load", "bank"] as const)
    expect(residualUnder(channel, IDLE, {})).toBeCloseTo(0, 12);
});

test("sonic flow through 20 mm² is the sheet's", () => {
  // PH-03c: 20 mm² effective, 100 kPa, 298.15 K, choked: 4.6812 g/s (formula sheet; five digits given).
  expect(20 * leakFlux({ baroKpa: 100, mapKpa: 40, iatK: 298.15 })).toBeCloseTo(4.6812, 4);
});

test("a 3 mm² leak is 7.8 % of a 9 g/s idle: positive where the meter rules, absent on speed-density air", () => {
  // PH-03g: 7.802 % of the cylinders' 9 g/s; the meter then reports 9 g/s less the leak.
  const leakGps = 3 * IDLE.leakGpsPerMm2;
  const at = { ...IDLE, airflowGps: 9 - leakGps };
  expect(residualUnder("fuel", at, { leakGps })).toBeCloseTo(-Math.log(1 - 0.07802), 4);
  expect(residualUnder("model", at, { leakGps })).toBeCloseTo(Math.log(1 - 0.07802), 4);
  expect(residualUnder("fuel", { ...at, meterShare: 0 }, { leakGps })).toBe(0);
  expect(residualUnder("throttle", at, { leakGps })).toBeCloseTo(0, 12);
  expect(residualUnder("idle-need", at, { leakGps })).toBeCloseTo(-leakGps, 12);
});

test("the same leak is about a thousandth of full-load air", () => {
  // PH-03h: 0.0988 % of 250 g/s at pressure ratio 0.97 with the root; with the steep end made straight it is a little less.
  const leakGps = 3 * leakFlux({ baroKpa: 100, mapKpa: 97, iatK: 298.15 });
  const share = residualUnder("fuel", { ...IDLE, airflowGps: 250 }, { leakGps });
  expect(share).toBeGreaterThan(0.0005);
  expect(share).toBeLessThan(0.00099);
});

test("a tenth of a millisecond of dead time is 3.5 % lean at idle and 0.8 % at 12 ms", () => {
  // PH-05g and PH-05h; 2.8568 ms effective (PH-05b). Lean by ln: −ln(1 − 0.1/2.8568) = 0.0356.
  expect(Math.expm1(-residualUnder("fuel", IDLE, deadTimeShift(IDLE, 0.1)))).toBeCloseTo(-0.035, 3);
  expect(residualUnder("fuel", { ...IDLE, openMs: 12 }, deadTimeShift({ ...IDLE, openMs: 12 }, 0.1))).toBeCloseTo(0.00833, 4);
  expect(residualUnder("model", IDLE, deadTimeShift(IDLE, 0.1))).toBe(0);
});

test("a table at 14.7 with fuel of 14.08 asks for 4.4 % more everywhere", () => {
  // PH-11e: trims settle at +4.403 %.
  expect(100 * Math.expm1(residualUnder("fuel", IDLE, { stoichLn: Math.log(14.7 / 14.08) }))).toBeCloseTo(4.403, 3);
});

test("a throttle that passes more shows in idle and throttle residual only", () => {
  const by = { throttleMm2: 10 };
  expect(residualUnder("throttle", IDLE, by)).toBeCloseTo(10, 9);
  expect(residualUnder("idle", IDLE, by)).toBeCloseTo(10 * IDLE.leakGpsPerMm2, 9);
  expect(residualUnder("fuel", IDLE, by)).toBe(0);
  expect(residualUnder("model", IDLE, by)).toBe(0);
});

test("a meter that reads 10 % low is 10 % of fuel on the meter's air and of the air models' difference", () => {
  const by = { meterLn: Math.log(0.9) };
  expect(residualUnder("fuel", IDLE, by)).toBeCloseTo(-Math.log(0.9), 12);
  expect(residualUnder("fuel", { ...IDLE, meterShare: 0 }, by)).toBe(0);
  expect(residualUnder("model", IDLE, by)).toBeCloseTo(Math.log(0.9), 12);
  expect(residualUnder("idle", IDLE, by)).toBeCloseTo(-0.9, 12);
});

test("a pressure sensor that reads 2 kPa high inflates speed-density air by 2 over 38", () => {
  const by = { mapKpa: 2 };
  expect(residualUnder("model", IDLE, by)).toBeCloseTo(-Math.log(40 / 38), 12);
  expect(residualUnder("fuel", { ...IDLE, meterShare: 0 }, by)).toBeCloseTo(-Math.log(40 / 38), 12);
  expect(residualUnder("map-at-rest", IDLE, by)).toBe(2);
});

test("an exhaust leak is lean on the sensor and nowhere else; banks differ with opposite signs", () => {
  expect(residualUnder("fuel", IDLE, { lambdaLn: 0.05 })).toBe(0.05);
  expect(residualUnder("model", IDLE, { lambdaLn: 0.05 })).toBe(0);
  expect(residualUnder("fuel", { ...IDLE, bank: 2 }, { lambdaLn: 0.05, bankLn: 0.05 })).toBeCloseTo(0, 12);
  expect(residualUnder("bank", IDLE, { bankLn: 0.05 })).toBe(0.1);
});

test("two deviations add", () => {
  expect(plus({ meterLn: 0.1, leakGps: 1 }, { meterLn: -0.03, fuelLn: 0.02 })).toEqual({ meterLn: 0.1 - 0.03, leakGps: 1, fuelLn: 0.02 });
});

test("without a meter, a leak and a throttle that passes more look alike at idle", () => {
  const at = { ...IDLE, airIsMetered: false, meterShare: 0 };
  const leak = residualUnder("idle", at, { leakGps: 1 });
  const throttle = residualUnder("idle", { ...at, commandedGps: 8 }, { throttleMm2: 1 / at.leakGpsPerMm2 });
  expect(leak).toBeGreaterThan(0.9);
  expect(throttle).toBeCloseTo(1, 9);
});
