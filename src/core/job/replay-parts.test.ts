import { expect, test } from "vitest";
import type { Observations } from "../residuals/index.ts";
import type { Intake } from "../result/index.ts";
import { type Calibration, calibrationOf, grid, single } from "../tables/index.ts";
import { replayParts } from "./replay-parts.ts";

const N = 400;
const INTAKE = { engine: { displacementL: 2.4, cylinders: 4 } } as Intake;
const all = (value: number): Float64Array => new Float64Array(N).fill(value);

function tables(vePercent: number): Calibration {
  const row = [vePercent, vePercent];
  return calibrationOf([
    grid("air.ve", "%", [1000, 3000], [20, 100], [row, row]),
    single("air.model-switch-speed", "rpm", 6000),
    single("fuel.stoich", "AFR", 14.7),
  ]);
}

/** A drive on speed and density in which the engine takes `more` air than the table says; every fourth sample is a transient far off. */
function driven(moreLn: number): Observations {
  const airflowGps = Float64Array.from({ length: N }, (_, i) => 5 + (30 * i) / N);
  return {
    n: N,
    rpm: all(2000),
    mapKpa: all(60),
    baroKpa: all(100),
    iatC: all(30),
    ectC: all(90),
    batteryV: all(13.8),
    mafHz: all(Number.NaN),
    meterGps: airflowGps,
    controllerGps: airflowGps,
    usesMeter: all(0),
    lambdaTarget: all(1),
    fuelResidual: Float64Array.from({ length: N }, (_, i) => (i % 4 === 0 ? 2 : moreLn)),
    modelResidual: all(moreLn),
    steadiness: Float64Array.from({ length: N }, (_, i) => (i % 4 === 0 ? 0 : 1)),
  } as Partial<Observations> as Observations;
}

test("tables that did not change promise nothing, and transients do not count", () => {
  const parts = replayParts(tables(80), tables(80), INTAKE, [driven(0.05)]);
  expect(parts.map((part) => part.id)).toEqual(["fuel", "air"]);
  for (const part of parts) {
    expect(part.samples).toBe((3 * N) / 4);
    expect(part.rmsBefore).toBeCloseTo(0.05, 10);
    expect(part.rmsAfter).toBeCloseTo(0.05, 10);
  }
});

test("a VE table raised by what the residuals say clears fuel and air, at every airflow", () => {
  const [fuel, air] = replayParts(tables(80), tables(88), INTAKE, [driven(Math.log(1.1))]);
  for (const part of [fuel!, air!]) {
    expect(part.rmsBefore).toBeCloseTo(Math.log(1.1), 10);
    expect(part.rmsAfter).toBeCloseTo(0, 10);
    expect(part.bins.length).toBeGreaterThan(2);
    for (const bin of part.bins) expect(Math.abs(bin.after)).toBeLessThan(1e-10);
    const flows = part.bins.map((bin) => bin.airflowGps);
    expect(flows).toEqual([...flows].sort((a, b) => a - b));
  }
});

test("a recording without mixture tells of the air alone; none tells nothing", () => {
  const blind = { ...driven(0.05), fuelResidual: all(Number.NaN) };
  expect(replayParts(tables(80), tables(82), INTAKE, [blind]).map((part) => part.id)).toEqual(["air"]);
  expect(replayParts(tables(80), tables(82), INTAKE, [])).toEqual([]);
});
