import { median, quantile } from "../../../base/index.ts";
import { onClock } from "../../recordings/index.ts";
import type { Observations } from "../../residuals/index.ts";
import { type DirectEvidence, defineFault } from "../define.ts";
import type { Facts } from "../facts.ts";
import { boundedLogRatio, evidenceOf, normalDensity, silent, spreadDensity } from "../likelihood.ts";

export default defineFault({
  id: "driveline.lockup-slip",
  title: "Converter clutch slips although it is commanded on",
  what: "Worn lining, low apply pressure or a leaking valve lets the converter clutch slip at full command.",
  moves:
    "Engine and turbine differ by tens of rpm while the clutch is commanded fully on for seconds, more under load. Air and fuel residuals stay where they are.",
  neighbours: [{ fault: "healthy", tell: "slip while the duty is below full is how a modulated clutch works" }],
  cost: "Burns the lining, fills the transmission with it, and makes torque-based shift and spark figures wrong.",
  prior: 0.7,
  needs: ["lockupDuty", "slip"],
  poisons: ["trans.lockup-duty-minimum", "trans.line-pressure"],
  record: "Two minutes of cruise in top gear and a gentle climb, with clutch duty and slip or turbine speed",
  tests: ["lockup-pressure"],
  sources: ["RT-24", "lockup-duty", "common-practice"],
  applies: (facts) => !/manual/i.test(facts.input.intake.vehicle?.transmission ?? ""),
  direct: slipEvidence,
});

/** Sound clutches show a few rpm of sensor rounding. */
const SOUND_RPM = 4;

function slipEvidence(facts: Facts): DirectEvidence {
  const spells = facts.input.observations.map(lockedSlip).filter((s) => s !== undefined);
  if (spells.length === 0)
    return silent(
      "driveline.lockup-slip: the converter clutch was never seen fully commanded, or slip is not logged; record two minutes of cruise in top gear",
    );
  const slips = spells.flatMap((s) => s.slips);
  const loaded = spells.flatMap((s) => s.loaded);
  // A worn clutch often holds at light load and lets go under torque: what it does in its worse moments counts.
  const typical = Math.max(quantile(slips, 0.88), quantile(loaded, 0.75) || 0);
  const x = Math.log(Math.max(typical, 0.5) / SOUND_RPM);
  const sound = 0.97 * normalDensity(x, -0.5, 0.8) + 0.03 * spreadDensity(x, 0, 3, 0.3);
  const slipping = spreadDensity(x, Math.log(14 / SOUND_RPM), Math.log(400 / SOUND_RPM), 0.3);
  const logRatio = Math.max(-5, boundedLogRatio(slipping, sound));
  const longest = [...spells].sort((a, b) => b.slips.length - a.slips.length)[0]!;
  return evidenceOf(
    logRatio,
    {
      text: `Slip of ${typical.toFixed(0)} rpm with the converter clutch fully commanded (${median(slips).toFixed(0)} rpm in the middle); a sound one holds below 20 rpm`,
      recording: longest.recording,
      fromS: longest.fromS,
      toS: longest.toS,
    },
    logRatio > 0 ? { sizes: [{ name: "slip", unit: "rpm", value: typical, low: quantile(slips, 0.25), high: quantile(slips, 0.95) }] } : {},
  );
}

interface Locked {
  readonly slips: readonly number[];
  readonly loaded: readonly number[];
  readonly recording: string;
  readonly fromS: number;
  readonly toS: number;
}

function lockedSlip(o: Observations): Locked | undefined {
  const clock = { timeS: o.timeS, dtS: o.dtS };
  const duty = onClock(o.recording, "lockupDuty", clock);
  const slip = onClock(o.recording, "slip", clock);
  const turbine = onClock(o.recording, "turbineRpm", clock);
  const slips: number[] = [];
  const loaded: number[] = [];
  let fullS = 0;
  let longest = { fromS: 0, toS: -1 };
  for (let i = 0; i < o.n; i++) {
    fullS = duty[i]! >= 90 ? fullS + o.dtS : 0;
    // The clutch needs its time to close; a second and a half after full command it must hold.
    if (fullS < 1.5) continue;
    const value = Math.abs(Number.isNaN(slip[i]!) ? o.rpm[i]! - turbine[i]! : slip[i]!);
    if (Number.isNaN(value) || value > 2500) continue;
    slips.push(value);
    if (o.mapKpa[i]! > 0.6 * o.baroKpa[i]! || (Number.isNaN(o.mapKpa[i]!) && o.throttlePercent[i]! > 25)) loaded.push(value);
    if (fullS > longest.toS - longest.fromS) longest = { fromS: o.timeS[i]! - fullS, toS: o.timeS[i]! };
  }
  return slips.length * o.dtS < 4 ? undefined : { slips, loaded: loaded.length * o.dtS >= 2 ? loaded : [], recording: o.recording.file, ...longest };
}
