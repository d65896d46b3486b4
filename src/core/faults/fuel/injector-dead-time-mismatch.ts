import { defineFault } from "../define.ts";
import { deadTimeShift } from "../honest-errors.ts";

export default defineFault({
  id: "fuel.injector-dead-time-mismatch",
  title: "Injectors open later or sooner than the table says",
  what: "The dead time of the injectors fitted is not the table's: a fixed slice of every pulse is missing or too much. The slice grows as battery voltage falls.",
  moves:
    "Fuel residual goes as one over the open time of the pulse: large at idle and on overrun, small at load, alike in both air models and on both banks, and stronger at low voltage. Meter and speed-density air agree, metered idle flow is as commanded.",
  neighbours: [
    {
      fault: "air.unmetered-leak",
      tell: "fades with airflow, not with pulse width, is absent where speed and density rule, and makes meter and speed-density air disagree",
    },
    { fault: "exhaust.leak-ahead-of-sensor", tell: "fades with exhaust flow (speed matters as much as load) and only ever reads lean, often on one bank" },
    { fault: "fuel.injector-flow-mismatch", tell: "does not fade with pulse width" },
  ],
  cost: "Corrected in the air tables it puts the error into spark and idle, and comes back with every change of voltage.",
  prior: 0.8,
  needs: ["rpm", "injMs", "lambda"],
  poisons: ["air.ve", "air.meter-curve"],
  record: "Warm idle, consumers off and then all on, with pulse width and battery voltage: dead time grows as voltage falls",
  tests: ["injector-flow-bench"],
  sources: ["PH-05g", "PH-05h", "RT-11", "common-practice"],
  priorReasons: (facts) => (facts.injectorsChanged ? [{ factor: 4, because: "the intake says that injectors were changed" }] : []),
  story: {
    size: { name: "dead time beyond the table's", unit: "ms", low: 0.07, high: 0.5 },
    manners: [
      { id: "longer", says: "opens later", share: 0.6, deviate: (size, at) => deadTimeShift(at, size) },
      { id: "shorter", says: "opens sooner", share: 0.4, deviate: (size, at) => deadTimeShift(at, -size) },
    ],
  },
});
