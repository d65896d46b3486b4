import { median } from "../../../base/index.ts";
import type { Observations } from "../../residuals/index.ts";
import { type DirectEvidence, defineFault } from "../define.ts";
import type { Facts } from "../facts.ts";
import { boundedLogRatio, evidenceOf, normalDensity, silent, spreadDensity } from "../likelihood.ts";
import { soundEndC, type WarmUp, warmUpOf, weighWarmUps } from "./warm-up.ts";

export default defineFault({
  id: "cooling.runs-cold",
  title: "Engine does not reach its temperature",
  what: "A thermostat that opens early or stays open lets the coolant run through the radiator all the time.",
  moves:
    "Coolant rises more slowly than the fuel burnt would have it, levels off well below 82 °C or falls again in driving. The controller stays in, or falls back to, warm-up fuel, idle and spark, so residuals are those of a cold engine.",
  neighbours: [
    {
      fault: "healthy",
      tell: "a recording that ends during warm-up proves little: weigh the rise against the fuel burnt, and watch whether the curve flattens",
    },
  ],
  cost: "Every table with a coolant axis is used in the wrong place; fuel thins the oil; air and charge temperature corrections are learned cold.",
  prior: 0.8,
  needs: ["ect"],
  poisons: ["idle.base-airflow", "idle.target-speed", "air.charge-temperature-blend"],
  record: "From a cold start twenty minutes of steady driving with coolant temperature logged: whether, and where, its rise ends",
  tests: ["thermostat-check"],
  sources: ["RT-21", "common-practice"],
  direct: coolantEvidence,
});

/** Coolant of a sound, warmed-up engine [°C] and its scatter between engines. @source RT-21 */
const SOUND_C = 88;
const SOUND_SD_C = 3;

/** Bounds of what trajectories say alone [ln]: the model knows neither heater nor fan, and an engine that stands at 82 °C in the end is hardly cold. */
const MOST_LN = 7;
const MOST_WHEN_WARM_LN = 4.5;
const WARM_C = 82;

function coolantEvidence(facts: Facts): DirectEvidence {
  const warmUps = facts.input.observations.map((o) => warmUpOf(o, facts)).filter((w) => w !== undefined);
  return warmUps.length === 0 ? settledEvidence(facts) : warmUpEvidence(warmUps, facts);
}

/** Rise and level of the coolant against the heat put in. */
function warmUpEvidence(warmUps: readonly WarmUp[], facts: Facts): DirectEvidence {
  const coldest = warmUps.reduce((a, b) => (b.toS - b.fromS > a.toS - a.fromS ? b : a));
  const most = Math.max(...warmUps.map((w) => w.lastC)) >= WARM_C ? MOST_WHEN_WARM_LN : MOST_LN;
  const settled = settledEvidence(facts).logRatio;
  // A recording that begins warm shows no rise: where it stands speaks too, and an engine that stands at 88 °C got there.
  const risen = warmUps.some((w) => w.lastC - w.firstC > 25);
  const logRatio = Math.max(-3.5, Math.min(most, weighWarmUps(warmUps, facts.displacementL) + (risen ? 0 : Math.min(0, settled))));
  const expectedC = soundEndC(coldest, facts.displacementL);
  const behindC = expectedC - coldest.lastC;
  const minutes = (coldest.toS - coldest.fromS) / 60;
  return evidenceOf(
    logRatio,
    {
      text: `Coolant went from ${coldest.firstC.toFixed(0)} to ${coldest.lastC.toFixed(0)} °C in ${minutes.toFixed(0)} min; the fuel burnt would bring a sound engine to about ${expectedC.toFixed(0)} °C`,
      recording: coldest.recording,
      fromS: coldest.fromS,
      toS: coldest.toS,
    },
    logRatio > 0 ? { sizes: [{ name: "below a sound engine by", unit: "°C", value: behindC, low: behindC - 6, high: behindC + 6 }] } : {},
  );
}

/** Without airflow: only where the coolant ends up. */
function settledEvidence(facts: Facts): DirectEvidence {
  const settled = facts.input.observations.map(settledCoolant).filter((s) => s !== undefined);
  if (settled.length === 0) return silent("cooling.runs-cold: coolant temperature is not logged, or the recordings end before the engine could be warm");
  const surest = [...settled].sort((a, b) => a.sd - b.sd || b.seconds - a.seconds)[0]!;
  const sd = Math.hypot(SOUND_SD_C, surest.sd);
  const sound = 0.985 * normalDensity(surest.c, SOUND_C, sd) + 0.015 * spreadDensity(surest.c, 70, 95, 3);
  const cold = spreadDensity(surest.c, 30, 82, Math.hypot(1.5, surest.sd));
  const logRatio = surest.c > SOUND_C ? -3.5 : Math.max(-3.5, boundedLogRatio(cold, sound));
  return evidenceOf(
    logRatio,
    {
      text: `Coolant settles at ${surest.c.toFixed(0)} °C${surest.sd > 3 ? " (still rising, estimated)" : ""}; a sound engine holds 82 to 98 °C`,
      recording: surest.recording,
      fromS: surest.fromS,
      toS: surest.toS,
    },
    logRatio > 0
      ? { sizes: [{ name: "below a sound engine by", unit: "°C", value: SOUND_C - surest.c, low: SOUND_C - surest.c - 6, high: SOUND_C - surest.c + 6 }] }
      : {},
  );
}

/**
 * Where the coolant ends up [°C]: the middle of the last two fifths of running. A long drive tells it best; in a short recording after a hot soak
 * the coolant may still be falling, in one that ends early it may still be rising.
 */
function settledCoolant(o: Observations): { c: number; sd: number; seconds: number; fromS: number; toS: number; recording: string } | undefined {
  const running: number[] = [];
  for (let i = 0; i < o.n; i++) if (o.rpm[i]! > 400 && !Number.isNaN(o.ectC[i]!)) running.push(i);
  const seconds = running.length * o.dtS;
  if (seconds < 60) return undefined;
  const tail = running.slice(Math.floor(0.6 * running.length));
  const half = tail.length >> 1;
  const first = median(tail.slice(0, half).map((i) => o.ectC[i]!));
  const last = median(tail.slice(half).map((i) => o.ectC[i]!));
  const hottest = running.reduce((high, i) => Math.max(high, o.ectC[i]!), Number.NEGATIVE_INFINITY);
  const slopeCPerS = (last - first) / (half * o.dtS);
  const end = median(running.slice(Math.floor(0.95 * running.length)).map((i) => o.ectC[i]!));
  const rising = slopeCPerS > 0.012 && hottest - end < 3;
  // Still on its way up within an ordinary warm-up: nothing is known yet of where it will end.
  if (rising && end < 80 && seconds < 700) return undefined;
  const whole = median(tail.map((i) => o.ectC[i]!));
  return {
    c: rising ? last + Math.min(15, slopeCPerS * 180) : whole,
    sd: rising ? 5 : seconds < 400 ? 4 : 1,
    seconds,
    fromS: o.timeS[tail[0]!]!,
    toS: o.timeS[tail[tail.length - 1]!]!,
    recording: o.recording.file,
  };
}
