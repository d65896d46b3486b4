import { defineFault } from "../define.ts";

export default defineFault({
  id: "air.throttle-overflow",
  title: "Throttle passes more air than its position says",
  what: "A worn bore or shaft, or a position sensor with slack, lets the throttle pass more air than the area curve gives for the reported position. All of that air is metered.",
  moves:
    "Fuel residual stays near zero in both air models, and the two models agree. At idle the metered flow lies above the commanded one, the learned part is negative and the commanded total is far below what the engine breathes. Expressed as opening, the surplus is a constant number of square millimetres (wear) or a constant angle (slack), so it matters at small openings only.",
  neighbours: [
    { fault: "air.unmetered-leak", tell: "shows in fuel trims and as meter below speed-density air; the throttle residual stays at zero" },
    { fault: "air.meter-high", tell: "moves the fuel residual and meter over speed-density air at every flow" },
    { fault: "healthy", tell: "a base airflow table that is merely too high moves commanded and metered flow together" },
  ],
  cost: "Setting the idle tables around it makes the idle go wrong on the day the throttle body is replaced; meanwhile idle hangs high after driving and the controller runs out of room to close.",
  prior: 1.1,
  needs: ["rpm", "maf", "idleAirTarget"],
  poisons: ["idle.base-airflow", "idle.throttle-follower"],
  record: "Warm idle, consumers off and then on, with commanded idle airflow and throttle position: what passes beyond the curve stays the same",
  tests: ["position-sensor-sweep", "throttle-inspection"],
  sources: ["idle-air-too-low", "throttle-dirt-sign", "repair-first", "PH-03", "common-practice"],
  story: {
    size: { name: "surplus as a share of idle air", unit: "fraction", low: 0.09, high: 0.7 },
    manners: [
      { id: "worn", says: "a constant opening", share: 0.6, deviate: (size, _, facts) => ({ throttleMm2: size * facts.idleMm2 }) },
      {
        id: "slack",
        says: "a constant angle",
        share: 0.4,
        deviate: (size, at, facts) => ({
          throttleMm2: size * facts.idleMm2 * Math.min(4, at.throttleSlopeMm2 > 0 ? at.throttleSlopeMm2 / facts.idleSlopeMm2 : 1),
        }),
      },
    ],
    shown: (size, facts) => ({ name: "surplus opening", unit: "mm²", value: size * facts.idleMm2 }),
  },
});
