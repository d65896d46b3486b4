import { defineFault } from "../define.ts";
import type { OperatingPoint } from "../deviation.ts";
import type { Facts } from "../facts.ts";

/** How the false lean reading fades as exhaust flow grows: the air drawn in is a smaller share, and back pressure shuts the inflow. */
const FADES = [
  ...[1.8, 3, 5].map((idleFlows) => ({
    id: `shut-by-pressure-${idleFlows}`,
    share: 0.2,
    of: (flow: number) => Math.exp(-Math.max(0, flow - 1) / idleFlows) / flow,
  })),
  { id: "with-flow", share: 0.2, of: (flow: number) => 1 / flow },
  { id: "slowly", share: 0.2, of: (flow: number) => flow ** -0.6 },
];

/** Airflow over the idle airflow. */
function relativeFlow(at: OperatingPoint, facts: Facts): number {
  return Math.max(0.6, at.airflowGps / facts.idleAirGps);
}

export default defineFault({
  id: "exhaust.leak-ahead-of-sensor",
  title: "Exhaust leak ahead of the oxygen sensor",
  what: "A cracked manifold, a blown gasket or a loose flange ahead of the sensor draws outside air in between exhaust pulses. The sensor reads lean although the cylinders are not, and the loop makes them rich.",
  moves:
    "Fuel residual positive at idle, fading with exhaust flow, in both air models alike, often on one bank only. Meter and speed-density air agree and idle airflow is as commanded: nothing is wrong with the air.",
  neighbours: [
    { fault: "air.unmetered-leak", tell: "makes meter and speed-density air disagree and lowers the commanded idle air" },
    { fault: "fuel.injector-dead-time-mismatch", tell: "goes with pulse width, both banks alike, and may be of either sign" },
    { fault: "sensor.oxygen-slow", tell: "changes the rhythm of the sensor, not the mean" },
  ],
  cost: "Every correction from lambda then enriches a healthy engine: fouled plugs, a hot catalyst, and idle tables that are wrong once the gasket is replaced.",
  prior: 0.9,
  needs: ["rpm", "lambda"],
  poisons: ["air.ve", "air.meter-curve", "fuel.injector-dead-time", "fuel.injector-flow", "idle.base-airflow"],
  record:
    "Closed loop at warm idle, then 1500 and 2500 rpm held without load, a minute each, all sensors logged: a leak fades with exhaust flow, often on one bank",
  tests: ["exhaust-leak-check"],
  sources: ["CA-19", "common-practice"],
  priorReasons: (facts) => (facts.exhaustChanged ? [{ factor: 1.5, because: "exhaust parts were changed: new joints ahead of the sensors" }] : []),
  story: {
    size: { name: "lean reading at idle", unit: "ln λ", low: 0.045, high: 0.35 },
    manners: FADES.flatMap((fade) => [
      {
        id: `both-${fade.id}`,
        says: "seen by all sensors",
        share: 0.4 * fade.share,
        deviate: (size: number, at: OperatingPoint, facts: Facts) => ({ lambdaLn: size * fade.of(relativeFlow(at, facts)) }),
      },
      ...([1, 2] as const).map((bank) => ({
        id: `bank-${bank}-${fade.id}`,
        says: `bank ${bank} only`,
        share: 0.3 * fade.share,
        applies: (facts: Facts) => facts.hasTwoBanks,
        deviate: (size: number, at: OperatingPoint, facts: Facts) => {
          const half = (size * fade.of(relativeFlow(at, facts))) / 2;
          return { lambdaLn: half, bankLn: bank === 1 ? half : -half };
        },
      })),
    ]),
    shown: (size) => ({ name: "reads lean at idle by", unit: "%", value: 100 * Math.expm1(size) }),
  },
});
