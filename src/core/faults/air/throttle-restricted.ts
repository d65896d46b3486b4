import { defineFault } from "../define.ts";
import type { OperatingPoint } from "../deviation.ts";
import type { Facts } from "../facts.ts";

/** Opening by the throttle's position over the idle opening; where the position is not known, by the airflow. */
function openingOverIdle(at: OperatingPoint, facts: Facts): number {
  return Number.isNaN(at.throttleMm2) ? at.airflowGps / facts.idleAirGps : at.throttleMm2 / facts.idleMm2;
}

export default defineFault({
  id: "air.throttle-restricted",
  title: "Throttle passes less air than its position says",
  what: "Deposits on plate and bore narrow the gap, most of all near the closed position, so that the throttle passes less than the area curve gives.",
  moves:
    "Fuel residual stays near zero and both air models agree. At idle the metered flow lies below the commanded one and the learned part is positive: the controller opens further to get the air it needs. Expressed as opening, square millimetres are missing at small positions and hardly any further open.",
  neighbours: [
    { fault: "air.meter-low", tell: "moves the fuel residual where the meter is used, and meter over speed-density air, at every flow" },
    { fault: "healthy", tell: "a base airflow table that is merely too low moves commanded and metered flow together" },
  ],
  cost: "Baked into the idle tables it makes the engine race once the throttle is cleaned; left alone it stalls when the learned part reaches its limit.",
  prior: 1.1,
  needs: ["rpm", "maf", "idleAirTarget"],
  poisons: ["idle.base-airflow", "idle.throttle-follower"],
  record: "Warm idle, consumers off and then on, with commanded idle airflow and throttle position: what lacks stays the same",
  tests: ["throttle-inspection"],
  sources: ["throttle-dirt-sign", "PH-03", "common-practice"],
  story: {
    size: { name: "shortfall as a share of idle air", unit: "fraction", low: 0.07, high: 0.5 },
    manners: [
      { id: "constant", says: "a constant opening is missing", share: 0.5, deviate: (size, _, facts) => ({ throttleMm2: -size * facts.idleMm2 }) },
      {
        id: "edge",
        says: "the gap at the plate's edge is narrowed",
        share: 0.5,
        deviate: (size, at, facts) => ({ throttleMm2: -size * facts.idleMm2 * Math.exp(-Math.max(0, openingOverIdle(at, facts) - 1 - size) / 3) }),
      },
    ],
    shown: (size, facts) => ({ name: "missing opening", unit: "mm²", value: size * facts.idleMm2 }),
  },
});
