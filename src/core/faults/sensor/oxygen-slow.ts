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
  record: "A minute of warm idle and a minute at steady 2000 rpm in closed loop, the sensor's voltage ten times a second",
  tests: ["sensor-response"],
  sources: ["PH-09", "PH-10", "common-practice"],
  direct: switchingEvidence,
});

interface Rhythm {
  readonly bank: 1 | 2;
  readonly idle: boolean;
  /** Time from one side of the middle to the other [s]. */
  readonly halfPeriodS: number;
  /** Share of samples between rich and lean. */
  readonly between: number;
  readonly count: number;
  readonly recording: string;
  readonly fromS: number;
  readonly toS: number;
}

/**
 * How long one edge takes: the share of time between rich and lean times the half-period [s]. A long exhaust lengthens the swing but not the edge;
 * quick swings raise the share but not the edge: the edge is the sensor's own. A sound sensor takes about a seventh of a second, sampling
 * included; between vehicles it scatters by a third. Common practice, no published source.
 */
const SOUND_EDGE_S = 0.15;
const SCATTER_LN = 0.38;
/** Rich and lean proper, and a narrower band whose crossing counts as a turn. */
const RICH_V = 0.65;
const LEAN_V = 0.25;
const TURN_RICH_V = 0.58;
const TURN_LEAN_V = 0.32;
/** A sensor swings about once a second: sampled more seldom than this its turns are missed and slow swings are seen that are not there [s]. */
const SLOWEST_SAMPLING_S = 0.3;
/** Half a swing where a sensor hardly ever reaches either side: longer than it was watched between two turns. */
const UNKNOWN_HALF_S = 1.5;

function switchingEvidence(facts: Facts): DirectEvidence {
  const rhythms = facts.input.observations.flatMap((o) => [...rhythmsOf(o, 1), ...rhythmsOf(o, 2)]);
  if (rhythms.length === 0) {
    const everyS = Math.min(...facts.input.observations.flatMap((o) => [samplingS(o, 1), samplingS(o, 2)]));
    return silent(
      everyS > SLOWEST_SAMPLING_S && Number.isFinite(everyS)
        ? `sensor.oxygen-slow: the sensor's voltage was sampled every ${everyS.toFixed(1)} s, too seldom to see its edges; record it five times a second or faster`
        : "sensor.oxygen-slow: no switching sensor was seen in closed loop; record a minute of warm idle and a minute at 2000 rpm with the sensor's voltage",
    );
  }
  const byBank = ([1, 2] as const)
    .filter((bank) => rhythms.some((r) => r.bank === bank))
    .map((bank) => ({ bank, ...bankRatio(rhythms.filter((r) => r.bank === bank)) }));
  const worst = byBank.reduce((a, b) => (b.logRatio > a.logRatio ? b : a));
  const shown = rhythms.filter((r) => r.bank === worst.bank).sort((a, b) => Number(a.idle) - Number(b.idle) || b.count - a.count)[0]!;
  return evidenceOf(
    worst.logRatio,
    {
      text: `Oxygen sensor of bank ${worst.bank} takes ${worst.edgeS.toFixed(2)} s from rich to lean (sound: about ${SOUND_EDGE_S} s) and switches every ${shown.halfPeriodS.toFixed(2)} s ${shown.idle ? "at idle" : "when driven"}`,
      recording: shown.recording,
      fromS: shown.fromS,
      toS: shown.toS,
    },
    worst.logRatio > 0 ? { sizes: [{ name: "time from rich to lean", unit: "s", value: worst.edgeS, low: worst.edgeS / 1.5, high: worst.edgeS * 1.5 }] } : {},
  );
}

/** How much likelier a slow sensor is than a sound one, from one bank's edges. In driving the sensor is hot: that counts for more. */
function bankRatio(rhythms: readonly Rhythm[]): { logRatio: number; edgeS: number } {
  let sum = 0;
  let weights = 0;
  for (const r of rhythms) {
    const weight = Math.min(1, r.count / 15) * (r.idle ? 0.4 : 0.6);
    sum += weight * Math.log(Math.max(0.03, r.between * r.halfPeriodS));
    weights += weight;
  }
  const edgeS = Math.exp(sum / weights);
  const x = Math.log(edgeS / SOUND_EDGE_S);
  const sound = 0.985 * normalDensity(x, 0, SCATTER_LN) + 0.015 * spreadDensity(x, 0, 2, 0.2);
  const slow = spreadDensity(x, Math.log(2.2), Math.log(14), 0.2);
  return { logRatio: x < 0 ? -4 : Math.max(-4, boundedLogRatio(slow, sound)), edgeS };
}

/** Time between two readings of a bank's sensor [s]; infinite without the sensor. */
function samplingS(o: Observations, bank: 1 | 2): number {
  const volts = o.recording.channels[bank === 1 ? "o2v1" : "o2v2"]?.values ?? [];
  let count = 0;
  for (const v of volts) if (!Number.isNaN(v)) count++;
  return count < 2 ? Number.POSITIVE_INFINITY : (o.timeS[o.n - 1]! - o.timeS[0]!) / count;
}

/** Rhythm of a sensor in closed loop at warm idle and when driven, from its own samples (not interpolated: that would fill the middle). */
function rhythmsOf(o: Observations, bank: 1 | 2): Rhythm[] {
  const volts = o.recording.channels[bank === 1 ? "o2v1" : "o2v2"]?.values;
  if (volts === undefined || samplingS(o, bank) > SLOWEST_SAMPLING_S) return [];
  const gathered = { idle: emptyGathering(), driven: emptyGathering() };
  let side = 0;
  let sinceS = Number.NaN;
  let before: "idle" | "driven" | undefined;
  for (let k = 0; k < volts.length; k++) {
    const v = volts[k]!;
    if (Number.isNaN(v)) continue;
    const t = o.recording.timeS[k]!;
    const where = whereUsable(o, Math.round((t - o.timeS[0]!) / o.dtS));
    if (where === undefined || where !== before) side = 0;
    before = where;
    if (where === undefined) continue;
    const g = gathered[where];
    g.samples++;
    if (v > LEAN_V && v < RICH_V) g.between++;
    const now = v >= TURN_RICH_V ? 1 : v <= TURN_LEAN_V ? -1 : 0;
    if (now === 0 || now === side) continue;
    if (side !== 0) {
      g.halfPeriodsS.push(t - sinceS);
      if (Number.isNaN(g.fromS)) g.fromS = sinceS;
      if (t - g.fromS < 25) g.toS = t;
    }
    side = now;
    sinceS = t;
  }
  return (["idle", "driven"] as const)
    .filter((where) => gathered[where].samples >= 60)
    .map((where) => {
      const g = gathered[where];
      return {
        bank,
        idle: where === "idle",
        halfPeriodS: g.halfPeriodsS.length >= 4 ? middleMean(g.halfPeriodsS) : UNKNOWN_HALF_S,
        between: g.between / g.samples,
        count: g.samples / 12,
        recording: o.recording.file,
        fromS: g.fromS,
        toS: g.toS,
      };
    });
}

function emptyGathering(): { halfPeriodsS: number[]; samples: number; between: number; fromS: number; toS: number } {
  return { halfPeriodsS: [], samples: 0, between: 0, fromS: Number.NaN, toS: Number.NaN };
}

function whereUsable(o: Observations, i: number): "idle" | "driven" | undefined {
  if (i < 0 || i >= o.n || !(o.closedLoop[i]! >= 0.5) || !(o.steadiness[i]! > 0.1) || o.ectC[i]! < 60) return undefined;
  return o.rpm[i]! < 1100 ? "idle" : o.rpm[i]! > 1300 ? "driven" : undefined;
}

/** Mean of the middle half: neither a burst of noise at a crossing nor a long pause counts. */
function middleMean(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.slice(Math.floor(sorted.length / 4), Math.ceil((3 * sorted.length) / 4));
  return Math.max(0.05, middle.reduce((s, v) => s + v, 0) / middle.length);
}
