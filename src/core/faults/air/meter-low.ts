import { defineFault } from "../define.ts";
import type { OperatingPoint } from "../deviation.ts";
import type { Facts } from "../facts.ts";

/** Where an airflow lies between idle (0) and the engine's full airflow (1), on a logarithmic scale. */
function flowPosition(at: OperatingPoint, facts: Facts): number {
  return Math.max(0, Math.min(1, Math.log(at.airflowGps / facts.idleAirGps) / Math.log(facts.fullAirGps / facts.idleAirGps)));
}

export default defineFault({
  id: "air.meter-low",
  title: "Airflow meter reads low",
  what: "A dirty or ageing sensing element, or a duct that sends the stream past it, makes the meter report less air than passes. All air passes the meter; the reading is wrong by a share of the flow, often with a slope over flow.",
  moves:
    "Where the controller uses the meter the fuel residual is positive by about the same share at every flow; where it uses speed and density the fuel residual stays near zero. Meter over speed-density air is low by that share everywhere, and metered idle flow lies below the commanded one by it.",
  neighbours: [
    { fault: "fuel.injector-flow-mismatch", tell: "moves the fuel residual in both air models alike and leaves the models in agreement" },
    { fault: "air.unmetered-leak", tell: "fades with airflow" },
    { fault: "fuel.delivery-low", tell: "grows with fuel flow and leaves the models in agreement" },
    { fault: "healthy", tell: "a meter curve that the last hand edited may be wrong without a faulty meter: compare with the factory's curve" },
  ],
  cost: "A failing meter baked into the curve drifts on: lean today, rich on the day it is replaced, and spark, shift pressure and idle all follow its air.",
  prior: 1.1,
  needs: ["rpm", "maf"],
  poisons: ["air.meter-curve"],
  record: "Steady driving at five speeds, below and above the speed from which the controller takes the meter's air, with the meter's signal logged",
  tests: ["meter-swap", "smoke-test"],
  sources: ["RT-14", "common-practice"],
  applies: (facts) => facts.hasMeter || facts.meterUnlogged,
  story: {
    size: { name: "share by which it reads low", unit: "fraction", low: 0.05, high: 0.3 },
    manners: [
      { id: "even", says: "at every flow alike", share: 0.6, deviate: (size) => ({ meterLn: Math.log1p(-size) }) },
      {
        id: "more-at-high-flow",
        says: "more at high flow",
        share: 0.2,
        deviate: (size, at, facts) => ({ meterLn: Math.log1p(-size) * (0.5 + flowPosition(at, facts)) }),
      },
      {
        id: "more-at-low-flow",
        says: "more at low flow",
        share: 0.2,
        deviate: (size, at, facts) => ({ meterLn: Math.log1p(-size) * (1.3 - 0.8 * flowPosition(at, facts)) }),
      },
    ],
    shown: (size) => ({ name: "reads low by", unit: "%", value: 100 * size }),
  },
});
