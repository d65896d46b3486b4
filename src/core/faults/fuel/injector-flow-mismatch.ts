import { defineFault } from "../define.ts";

export default defineFault({
  id: "fuel.injector-flow-mismatch",
  title: "Injectors flow otherwise than the table says",
  what: "Injectors of another size, a rail at another pressure, or a flow table that was never made for these injectors: every gram of fuel is wrong by the same factor.",
  moves:
    "Fuel residual is the same share at every airflow and pulse width, in both air models, on both banks. Meter and speed-density air agree, metered idle flow is as commanded.",
  neighbours: [
    { fault: "air.meter-low", tell: "shows only where the meter is used, and the two air models disagree" },
    { fault: "air.meter-high", tell: "shows only where the meter is used, and the two air models disagree" },
    { fault: "fuel.injector-dead-time-mismatch", tell: "is large at short pulses and small at long ones" },
    { fault: "healthy", tell: "fuel with another stoichiometric ratio shifts everything by at most a few percent: ask what is in the tank" },
  ],
  cost: "Hidden in the VE table or meter curve it makes every air figure a lie: spark, torque and shift pressure are looked up at the wrong load.",
  prior: 0.8,
  needs: ["rpm", "lambda"],
  poisons: ["air.ve", "air.meter-curve"],
  record: "Five minutes of steady driving from light load to near full load, in closed loop: the error is the same share everywhere",
  tests: ["injector-flow-bench", "fuel-pressure-under-load"],
  sources: ["PH-04", "PH-05", "common-practice"],
  priorReasons: (facts) => (facts.injectorsChanged ? [{ factor: 4, because: "the intake says that injectors were changed" }] : []),
  story: {
    size: { name: "share", unit: "fraction", low: 0.06, high: 0.35 },
    manners: [
      { id: "less", says: "less than the table says", share: 0.5, deviate: (size) => ({ fuelLn: Math.log1p(-size) }) },
      { id: "more", says: "more than the table says", share: 0.5, deviate: (size) => ({ fuelLn: Math.log1p(size) }) },
    ],
    shown: (size) => ({ name: "flow differs by", unit: "%", value: 100 * size }),
  },
});
