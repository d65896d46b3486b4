import { defineFault } from "../define.ts";
import type { OperatingPoint } from "../deviation.ts";
import type { Facts } from "../facts.ts";

/** Leak of so many shares of the idle air, at this point [g/s]: the opening stays, the pressure across it changes. */
function leakGps(share: number, at: OperatingPoint, facts: Facts): number {
  return share * facts.idleMm2 * at.leakGpsPerMm2;
}

/** How one-sided a leak at one runner or plenum end may be: the leak's air in one bank beyond half of it, over half of it. */
const ONE_SIDED = [0.25, 0.5, 0.75] as const;

/** Half the difference of the banks' mixtures [ln]; the leak is a share of all air, whoever measured that. */
function bankHalfLn(oneSided: number, leak: number, at: OperatingPoint): number {
  const total = Math.max(at.airIsMetered ? at.airflowGps + leak : at.airflowGps, 0.5);
  return Math.atanh(Math.max(-0.8, Math.min(0.8, (oneSided * leak) / total)));
}

export default defineFault({
  id: "air.unmetered-leak",
  title: "Air enters after the meter",
  what: "A gasket, hose, brake line or joint between air meter and valves lets air in that the meter never sees. The opening is fixed, so the flow is nearly constant while the manifold is deep below ambient, a large share of idle air and next to nothing at load; under boost the same hole blows outwards.",
  moves:
    "Where the controller uses the meter, the fuel residual is positive at idle and fades with airflow. Where it uses speed and density, manifold pressure already shows the extra air and the fuel residual stays near zero. Meter over speed-density air is low by the leak's share. The idle controller commands less throttle air than the engine needs, and the throttle itself passes exactly what its position says.",
  neighbours: [
    { fault: "exhaust.leak-ahead-of-sensor", tell: "leaves both air models in agreement and the idle airflow where it was" },
    { fault: "fuel.injector-dead-time-mismatch", tell: "goes with pulse width rather than airflow, and leaves both air models in agreement" },
    { fault: "air.throttle-overflow", tell: "is metered: fuel residual near zero, metered idle flow above the commanded one" },
    { fault: "air.meter-low", tell: "does not fade with airflow" },
  ],
  cost: "Corrected in the meter curve or in idle fuel it makes the engine rich once the leak is mended, and it grows: lean idle, misfire, a leak under boost.",
  prior: 1.2,
  needs: ["rpm", "maf"],
  poisons: ["air.meter-curve", "idle.base-airflow", "air.ve"],
  record: "Warm idle in closed loop, then 1500 and 2500 rpm held without load, a minute each: a leak's share fades as airflow rises",
  tests: ["smoke-test"],
  sources: ["leak-sign", "PH-03g", "PH-03h", "common-practice"],
  story: {
    size: { name: "share of idle air", unit: "fraction", low: 0.07, high: 0.5 },
    manners: [
      { id: "both-banks", says: "spread over both banks", share: 0.6, deviate: (size, at, facts) => ({ leakGps: leakGps(size, at, facts) }) },
      ...([1, 2] as const).flatMap((bank) =>
        ONE_SIDED.map((oneSided) => ({
          id: `bank-${bank}-${oneSided}`,
          says: `mostly into bank ${bank}`,
          share: 0.2 / ONE_SIDED.length,
          applies: (facts: Facts) => facts.hasTwoBanks,
          deviate: (size: number, at: OperatingPoint, facts: Facts) => {
            const leak = leakGps(size, at, facts);
            return { leakGps: leak, bankLn: (bank === 1 ? 1 : -1) * bankHalfLn(oneSided, leak, at) };
          },
        })),
      ),
    ],
    shown: (size, facts) => ({ name: "effective opening of the leak", unit: "mm²", value: size * facts.idleMm2 }),
  },
});
