import { describe, expect, test } from "vitest";
import { type Calibration, calibrationOf, curve, grid, single, type Table } from "../tables/index.ts";
import { type Lived, replay } from "./replay.ts";

const ENGINE = { displacementL: 2.4, cylinders: 4 };
const at = (value: number): Float64Array => Float64Array.of(value);

function instants(over: Partial<Lived> = {}): Lived {
  return {
    n: 1,
    rpm: at(2000),
    mapKpa: at(60),
    baroKpa: at(100),
    iatC: at(30),
    ectC: at(90),
    batteryV: at(13.8),
    mafHz: at(5000),
    meterGps: at(20),
    lambdaTarget: at(1),
    usesMeter: at(0),
    fuelResidual: at(0.1),
    modelResidual: at(0.05),
    ...over,
  };
}

function tables(over: { ve?: number; meter?: number; stoich?: number; flow?: number; dead?: number; switchRpm?: number } = {}): Calibration {
  const all: Table[] = [
    grid(
      "air.ve",
      "%",
      [1000, 3000],
      [20, 100],
      [
        [over.ve ?? 80, over.ve ?? 80],
        [over.ve ?? 80, over.ve ?? 80],
      ],
    ),
    curve("air.meter-curve", "g/s", [2000, 8000], [0, 40 * (over.meter ?? 1)]),
    single("air.model-switch-speed", "rpm", over.switchRpm ?? 4000),
    single("fuel.stoich", "AFR", over.stoich ?? 14.7),
    curve("fuel.injector-flow", "g/s", [0, 80], [over.flow ?? 4, over.flow ?? 4]),
    curve("fuel.injector-dead-time", "ms", [10, 16], [over.dead ?? 0.8, over.dead ?? 0.8]),
  ];
  return calibrationOf(all);
}

describe("replay", () => {
  test("the same tables leave the residuals as they were", () => {
    const again = replay(instants(), tables(), tables(), ENGINE);
    expect(again.fuelResidual[0]).toBeCloseTo(0.1, 12);
    expect(again.modelResidual[0]).toBeCloseTo(0.05, 12);
  });

  // A fuel residual of ln(1.1) says that the engine takes 10 % more air than the table thinks: 10 % more VE must clear it.
  test("a VE table raised by what the residual says clears it where speed and density give the air", () => {
    const lean = instants({ fuelResidual: at(Math.log(1.1)) });
    const after = replay(lean, tables(), tables({ ve: 88 }), ENGINE);
    expect(after.fuelResidual[0]).toBeCloseTo(0, 12);
    expect(after.modelResidual[0]).toBeCloseTo(0.05 - Math.log(1.1), 12);
  });

  test("where the meter gives the air, VE does nothing to the fuel and the meter curve everything", () => {
    const byMeter = { switchRpm: 0 };
    expect(replay(instants({ usesMeter: at(1) }), tables(byMeter), tables({ ...byMeter, ve: 88 }), ENGINE).fuelResidual[0]).toBeCloseTo(0.1, 12);
    const after = replay(instants({ usesMeter: at(1) }), tables(byMeter), tables({ ...byMeter, meter: 1.1 }), ENGINE);
    expect(after.fuelResidual[0]).toBeCloseTo(0.1 - Math.log(1.1), 12);
    expect(after.usesMeter[0]).toBe(1);
  });

  test("a meter that was logged as flow only is taken back through the curve that ran", () => {
    const flowOnly = instants({ mafHz: at(Number.NaN), usesMeter: at(1) });
    const after = replay(flowOnly, tables({ switchRpm: 0 }), tables({ switchRpm: 0, meter: 0.9 }), ENGINE);
    expect(after.fuelResidual[0]).toBeCloseTo(0.1 - Math.log(0.9), 12);
  });

  // Worked by hand: injectors are believed 25 % too large, dead time right. The controller opens them 25 % too short, so the same
  // pulse through the true ones gives 1/1.25 of the fuel: the residual of ln(1.25) goes with the true flow in the table.
  test("true injector flow in the table clears the lean mixture that a wrong one made", () => {
    const lean = instants({ fuelResidual: at(Math.log(1.25)) });
    expect(replay(lean, tables({ flow: 5 }), tables({ flow: 4 }), ENGINE).fuelResidual[0]).toBeCloseTo(0, 12);
  });

  // Worked by hand: air 0.8 · 60 kPa · 2.4 L · 2000 rpm / (120 · 0.28705 · 303.15 K) = 22.065 g/s, fuel 1.5010 g/s, open time
  // 1.5010 / (4 · 4 · 2000 / 120000) = 5.6288 ms. With a true dead time of 1.0 ms instead of 0.8 the injectors are open 5.4288 ms.
  test("true dead time in the table clears what a wrong one made", () => {
    const lean = instants({ fuelResidual: at(Math.log(5.6288 / 5.4288)) });
    expect(replay(lean, tables({ dead: 0.8 }), tables({ dead: 1 }), ENGINE).fuelResidual[0]).toBeCloseTo(0, 4);
  });

  test("a higher stoichiometric ratio takes fuel away", () => {
    expect(replay(instants(), tables(), tables({ stoich: 14.7 * 1.02 }), ENGINE).fuelResidual[0]).toBeCloseTo(0.1 + Math.log(1.02), 12);
  });

  test("what was not known stays unknown, and the input is not changed", () => {
    const unknown = instants({ rpm: at(Number.NaN) });
    const after = replay(unknown, tables(), tables({ ve: 88 }), ENGINE);
    expect(after.fuelResidual[0]).toBeNaN();
    expect(unknown.fuelResidual[0]).toBe(0.1);
  });
});
