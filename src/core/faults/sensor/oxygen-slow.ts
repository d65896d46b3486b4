import { median } from "../../../base/index.ts";
import { onClock } from "../../recordings/index.ts";
import type { Observations } from "../../residuals/index.ts";
import { type DirectEvidence, defineFault } from "../define.ts";
import type { Facts } from "../facts.ts";
import { boundedLogRatio, evidenceOf, normalDensity, silent, spreadDensity } from "../likelihood.ts";

export default defineFault({
  id: "sensor.oxygen-slow",
  title: "Oxygen sensor answers slowly",
  what: "An aged, poisoned or cold sensor follows the mixture late. The closed loop then swings slowly and widely about the right mean.",
  moves:
    "The sensor switches less often than the exhaust delay allows, its edges are flat, and the short-term trim swings further. The mean of the fuel residual hardly moves; air models and idle air are untouched.",
  neighbours: [
    { fault: "exhaust.leak-ahead-of-sensor", tell: "moves the mean of the trim, most at idle" },
    { fault: "healthy", tell: "switches in half a second to a second at idle and faster when driven" },
  ],
  cost: "Trims wander, idle hunts, catalyst suffers, and any correction that takes lambda at its word in transients learns the sensor's lag.",
  prior: 0.8,
  needs: ["o2v1", "closedLoop"],
  poisons: [],
  tests: ["sensor-response"],
  sources: ["PH-09", "PH-10", "common-practice"],
  direct: switchingEvidence,
});

interface Rhythm {
  readonly bank: 1 | 2;
  readonly idle: boolean;
  readonly halfPeriodS: number;
  readonly count: number;
  readonly recording: string;
  readonly fromS: number;
  readonly toS: number;
}

/**
 * Half a swing of a sound loop [s]: exhaust delay plus a quick sensor, about half a second at idle and a fifth when driven. Common practice, no
 * published source; between vehicles it scatters by a quarter.
 */
const IDLE_HALF_S = 0.48;
const DRIVEN_HALF_S = 0.21;
const SCATTER_LN = 0.27;
const RICH_V = 0.58;
const LEAN_V = 0.32;

function switchingEvidence(facts: Facts): DirectEvidence {
  const rhythms = facts.input.observations.flatMap((o) => [...rhythmsOf(o, 1), ...rhythmsOf(o, 2)]);
  if (rhythms.length === 0)
    return silent(
      "sensor.oxygen-slow: no switching sensor was seen in closed loop; record a minute of warm idle and a minute at 2000 rpm with the sensor's voltage",
    );
  const slowest = new Map<number, number>();
  for (const bank of [1, 2] as const) {
    const mine = rhythms.filter((r) => r.bank === bank);
    if (mine.length === 0) continue;
    // Idle and driving must agree: the sensor is the same.
    const values = mine.map((r) => ({ x: Math.log(r.halfPeriodS / (r.idle ? IDLE_HALF_S : DRIVEN_HALF_S)), w: Math.min(r.count, 30) }));
    slowest.set(bank, values.reduce((s, v) => s + v.x * v.w, 0) / values.reduce((s, v) => s + v.w, 0));
  }
  const x = Math.max(...slowest.values());
  const bank = [...slowest].find(([, value]) => value === x)![0];
  const sound = 0.985 * normalDensity(x, 0, SCATTER_LN) + 0.015 * spreadDensity(x, 0, 1.6, 0.2);
  const slow = spreadDensity(x, Math.log(1.45), Math.log(7), 0.2);
  const logRatio = x < 0 ? -4 : Math.max(-4, boundedLogRatio(slow, sound));
  const shown = rhythms.filter((r) => r.bank === bank).sort((a, b) => b.count - a.count)[0]!;
  return evidenceOf(
    logRatio,
    {
      text: `Oxygen sensor of bank ${bank} switches every ${shown.halfPeriodS.toFixed(2)} s ${shown.idle ? "at idle" : "when driven"} (sound: about ${shown.idle ? IDLE_HALF_S : DRIVEN_HALF_S} s)`,
      recording: shown.recording,
      fromS: shown.fromS,
      toS: shown.toS,
    },
    logRatio > 0
      ? { sizes: [{ name: "slower than a sound sensor by", unit: "times", value: Math.exp(x), low: Math.exp(x - 0.5), high: Math.exp(x + 0.5) }] }
      : {},
  );
}

/** Time between crossings of a band about the sensor's middle, in closed loop, at warm idle and when driven steadily. */
function rhythmsOf(o: Observations, bank: 1 | 2): Rhythm[] {
  const volts = onClock(o.recording, bank === 1 ? "o2v1" : "o2v2", { timeS: o.timeS, dtS: o.dtS });
  const gathered = { idle: [] as number[], driven: [] as number[] };
  const spans = { idle: { fromS: Number.NaN, toS: Number.NaN }, driven: { fromS: Number.NaN, toS: Number.NaN } };
  let side = 0;
  let sinceS = Number.NaN;
  for (let i = 0; i < o.n; i++) {
    const v = volts[i]!;
    const usable = o.closedLoop[i]! >= 0.5 && o.steadiness[i]! > 0.1 && !Number.isNaN(v) && !(o.ectC[i]! < 60);
    if (!usable) {
      side = 0;
      sinceS = Number.NaN;
      continue;
    }
    const now = v > RICH_V ? 1 : v < LEAN_V ? -1 : 0;
    if (now === 0 || now === side) continue;
    const t = o.timeS[i]!;
    const where = o.rpm[i]! < 1100 ? "idle" : "driven";
    if (side !== 0 && !Number.isNaN(sinceS)) {
      gathered[where].push(t - sinceS);
      if (Number.isNaN(spans[where].fromS)) spans[where].fromS = sinceS;
      spans[where].toS = Math.min(t, spans[where].fromS + 20);
    }
    side = now;
    sinceS = t;
  }
  return (["idle", "driven"] as const)
    .filter((where) => gathered[where].length >= 6)
    .map((where) => ({
      bank,
      idle: where === "idle",
      halfPeriodS: Math.max(0.05, mean(gathered[where])),
      count: gathered[where].length,
      recording: o.recording.file,
      ...spans[where],
    }));
}

/** Mean of the middle half: neither a burst of noise at a crossing nor a long pause counts. */
function mean(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.slice(Math.floor(sorted.length / 4), Math.ceil((3 * sorted.length) / 4));
  return middle.reduce((s, v) => s + v, 0) / middle.length || median(values);
}
