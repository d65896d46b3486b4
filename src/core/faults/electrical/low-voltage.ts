import { median, quantile } from "../../../base/index.ts";
import type { Observations } from "../../residuals/index.ts";
import { type DirectEvidence, defineFault } from "../define.ts";
import type { Facts } from "../facts.ts";
import { boundedLogRatio, evidenceOf, normalDensity, silent, spreadDensity } from "../likelihood.ts";

export default defineFault({
  id: "electrical.low-voltage",
  title: "Supply voltage is low while running",
  what: "A weak generator, a slipping belt, a bad ground or a dying battery leaves the system below charging voltage while the engine runs.",
  moves:
    "Battery voltage below about 13.2 V while running, often lowest at idle, and a deep dip while cranking. Injectors open later and the fuel pump gives less, so fuel residuals may follow; with a right dead-time table they hardly do.",
  neighbours: [
    { fault: "fuel.injector-dead-time-mismatch", tell: "shows at ordinary voltage" },
    { fault: "start.cam-signal-dropout", tell: "cranks long at ordinary voltage and speed" },
  ],
  cost: "Dead time, coil energy and pump flow all move with voltage: tables fitted now are wrong after the repair. Reading or writing a controller at low voltage can destroy it.",
  prior: 0.8,
  needs: ["battery"],
  poisons: ["fuel.injector-dead-time"],
  record: "A start, then two minutes of idle with all consumers on, battery voltage logged",
  tests: ["battery-and-charging"],
  sources: ["RT-19", "RT-20", "common-practice"],
  direct: voltageEvidence,
});

/** Charging voltage of a sound system, and how far it scatters between vehicles, ages and temperatures [V]. @source RT-20 */
const SOUND_V = 14.2;
const SOUND_SD_V = 0.26;

function voltageEvidence(facts: Facts): DirectEvidence {
  let worst: { medianV: number; lowV: number; fromS: number; toS: number; recording: string } | undefined;
  for (const o of facts.input.observations) {
    const here = runningVoltage(o);
    if (here !== undefined && (worst === undefined || here.medianV < worst.medianV)) worst = here;
  }
  if (worst === undefined) return silent("electrical.low-voltage: battery voltage is not logged");
  const { medianV, lowV, recording, fromS, toS } = worst;
  // Mostly the mean level, partly how low it goes when consumers come on.
  const x = 0.6 * medianV + 0.4 * (lowV + 0.35);
  const sound = 0.96 * normalDensity(x, SOUND_V, SOUND_SD_V) + 0.04 * spreadDensity(x, 12.9, 15, 0.2);
  const low = spreadDensity(x, 11.2, 13.75, 0.15);
  const crankV = facts.input.observations.map(crankingVoltage).filter((v) => !Number.isNaN(v));
  const crank = crankV.length === 0 ? 0 : crankRatio(Math.min(...crankV));
  const logRatio = Math.max(-5, (x > SOUND_V ? -4 : boundedLogRatio(low, sound, 8)) + crank);
  return evidenceOf(
    logRatio,
    {
      text: `Running voltage ${medianV.toFixed(1)} V (lowest twentieth ${lowV.toFixed(1)} V); a sound system holds 13.5 to 14.7 V${crank > 0.3 ? `; ${Math.min(...crankV).toFixed(1)} V while cranking` : ""}`,
      recording,
      fromS,
      toS,
    },
    logRatio > 0
      ? { sizes: [{ name: "below a sound system by", unit: "V", value: SOUND_V - medianV, low: SOUND_V - 0.5 - medianV, high: SOUND_V + 0.5 - medianV }] }
      : {},
  );
}

/** A weak supply often, not always, shows in cranking too. */
function crankRatio(lowestV: number): number {
  const sound = 0.97 * normalDensity(Math.min(10.6, Math.max(lowestV, 7)), 10.4, 0.35) + 0.03 * spreadDensity(lowestV, 8, 11, 0.2);
  const weak = spreadDensity(lowestV, 7.8, 10.2, 0.2);
  return Math.max(-0.5, Math.min(1.5, boundedLogRatio(0.5 * weak + 0.5 * sound, sound)));
}

/** Lowest voltage while the starter turns the engine; NaN where no start was seen with enough samples. */
function crankingVoltage(o: Observations): number {
  const volts: number[] = [];
  for (let i = 0; i < o.n && o.timeS[i]! - o.timeS[0]! < 30; i++)
    if (o.rpm[i]! > 60 && o.rpm[i]! < 350 && !Number.isNaN(o.batteryV[i]!)) volts.push(o.batteryV[i]!);
  return volts.length < 2 ? Number.NaN : quantile(volts, 0.1);
}

function runningVoltage(o: Observations): { medianV: number; lowV: number; fromS: number; toS: number; recording: string } | undefined {
  const volts: number[] = [];
  let runningS = 0;
  let from = -1;
  for (let i = 0; i < o.n; i++) {
    runningS = o.rpm[i]! > 500 ? runningS + o.dtS : 0;
    if (runningS < 12 || Number.isNaN(o.batteryV[i]!)) continue;
    if (from < 0) from = i;
    volts.push(o.batteryV[i]!);
  }
  if (volts.length * o.dtS < 10) return undefined;
  return { medianV: median(volts), lowV: quantile(volts, 0.05), fromS: o.timeS[from]!, toS: o.timeS[o.n - 1]!, recording: o.recording.file };
}
