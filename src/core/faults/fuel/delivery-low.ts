import { defineFault } from "../define.ts";
import type { OperatingPoint } from "../deviation.ts";
import type { Facts } from "../facts.ts";

function fuelShare(at: OperatingPoint, facts: Facts): number {
  return Math.min(1.3, at.fuelGps / facts.fullFuelGps);
}

function short(share: number): number {
  return Math.log(Math.max(0.2, 1 - share));
}

export default defineFault({
  id: "fuel.delivery-low",
  title: "Fuel pressure falls as flow rises",
  what: "A tired pump, a blocked filter, a kinked line or a weak supply to the pump holds pressure while little fuel flows and lets it fall when much is asked for.",
  moves:
    "Fuel residual near zero at idle and light load, growing with fuel flow in both air models alike; lambda leaner than commanded at full load. Both air models agree, and idle airflow is as commanded.",
  neighbours: [
    { fault: "air.meter-low", tell: "shows at light load too, and as meter below speed-density air" },
    { fault: "fuel.injector-flow-mismatch", tell: "is the same share at every fuel flow" },
  ],
  cost: "An engine that is fed by a larger table figure burns a piston when the pump gives up a little more. Lean at full load is a stop.",
  prior: 0.9,
  needs: ["rpm", "lambda"],
  poisons: ["air.ve", "air.meter-curve", "fuel.injector-flow", "fuel.full-load-ratio"],
  tests: ["fuel-pressure-under-load"],
  sources: ["PH-04a", "RT-04", "RT-10", "common-practice"],
  story: {
    size: { name: "fuel missing at the engine's full flow", unit: "fraction", low: 0.06, high: 0.45 },
    manners: [
      { id: "in-proportion", says: "in proportion to fuel flow", share: 0.35, deviate: (size, at, facts) => ({ fuelLn: short(size * fuelShare(at, facts)) }) },
      {
        id: "with-the-square",
        says: "with the square of fuel flow",
        share: 0.4,
        deviate: (size, at, facts) => ({ fuelLn: short(size * fuelShare(at, facts) ** 2) }),
      },
      {
        id: "beyond-a-limit",
        says: "beyond a limit of the pump",
        share: 0.25,
        deviate: (size, at, facts) => ({ fuelLn: short((size * Math.max(0, fuelShare(at, facts) - 0.25)) / 0.75) }),
      },
    ],
    shown: (size) => ({ name: "fuel missing at full flow", unit: "%", value: 100 * size }),
  },
});
