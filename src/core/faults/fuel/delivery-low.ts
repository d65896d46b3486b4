import { onClock } from "../../recordings/index.ts";
import { type DirectEvidence, defineFault } from "../define.ts";
import type { OperatingPoint } from "../deviation.ts";
import type { Facts } from "../facts.ts";
import { evidenceOf, silent } from "../likelihood.ts";

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
  record:
    "Two full-load sweeps to the top of the speed range, on a dynamometer or closed course, with a wide-range sensor: what is missing grows with fuel flow; lift at the first lean reading",
  tests: ["fuel-pressure-under-load"],
  sources: ["PH-04a", "RT-04", "RT-10", "common-practice"],
  direct: fullLoadSensorEvidence,
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

/** A switching sensor stays above this while the mixture is rich [V]. Common practice, no published source. */
const RICH_V = 0.6;

/**
 * Without a wide-range sensor full-load mixture is known only by sign: a switching sensor that goes lean while rich mixture is commanded. It
 * tells a starved engine from a fed one, not how far; with a wide-range sensor the fuel residual says more and this stays silent.
 */
function fullLoadSensorEvidence(facts: Facts): DirectEvidence {
  if (facts.hasWideband) return silent();
  let samples = 0;
  let lean = 0;
  let span: { recording: string; fromS: number; toS: number } | undefined;
  for (const o of facts.input.observations) {
    const clock = { timeS: o.timeS, dtS: o.dtS };
    const bank1 = onClock(o.recording, "o2v1", clock);
    const bank2 = onClock(o.recording, "o2v2", clock);
    let richForS = 0;
    for (let i = 0; i < o.n; i++) {
      const rich = o.rpm[i]! > 1500 && o.throttlePercent[i]! > 50 && o.lambdaTarget[i]! < 0.95 && !(o.closedLoop[i]! >= 0.5);
      richForS = rich ? richForS + o.dtS : 0;
      // The exhaust arrives late and the film fills first.
      if (richForS < 0.6) continue;
      const volts = Math.min(...[bank1[i]!, bank2[i]!].filter((v) => !Number.isNaN(v)));
      if (!Number.isFinite(volts)) continue;
      samples += o.dtS;
      if (volts >= RICH_V) continue;
      lean += o.dtS;
      span ??= { recording: o.recording.file, fromS: o.timeS[i]! - 1, toS: o.timeS[i]! };
      if (span.recording === o.recording.file && o.timeS[i]! - span.toS < 3) span = { ...span, toS: o.timeS[i]! };
    }
  }
  if (samples < 2)
    return silent("fuel.delivery-low: mixture at full load is not known (neither a wide-range sensor nor a switching sensor's voltage under full load)");
  const share = lean / samples;
  const logRatio = share > 0.3 ? 3 : share > 0.06 ? 2 : share > 0.02 ? 0.7 : -0.4;
  return evidenceOf(logRatio, {
    text:
      share > 0.02
        ? `At full load, with rich mixture commanded, the oxygen sensor read lean for ${(100 * share).toFixed(0)} % of ${samples.toFixed(0)} s`
        : `At full load, with rich mixture commanded, the oxygen sensor stayed rich for ${samples.toFixed(0)} s`,
    ...(span ?? {}),
  });
}
