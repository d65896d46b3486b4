import { lastAtMost } from "../../base/index.ts";
import { describeSignal, type SignalId } from "../units/index.ts";
import type { Recording } from "./recording.ts";

/** A uniform clock over a recording: the grid on which all channels meet. */
export interface Clock {
  readonly timeS: Float64Array;
  readonly dtS: number;
}

const FINEST_STEP_S = 0.05;
const COARSEST_STEP_S = 0.5;
const MOST_POINTS = 400_000;

/**
 * Uniform clock at the recording's own pace, no finer than 20 Hz and no coarser than 2 Hz; longer recordings get a
 * coarser one, so that memory stays bounded.
 */
export function uniformClock(recording: Recording): Clock {
  const rows = recording.timeS;
  const n = rows.length;
  if (n === 0) return { timeS: new Float64Array(0), dtS: FINEST_STEP_S };
  const first = rows[0]!;
  const spanS = rows[n - 1]! - first;
  const meanStepS = n > 1 ? spanS / (n - 1) : FINEST_STEP_S;
  const paceS = Math.min(Math.max(meanStepS, FINEST_STEP_S), COARSEST_STEP_S);
  const dtS = Math.max(paceS, spanS / MOST_POINTS);
  const points = Math.floor(spanS / dtS + 1e-9) + 1;
  return { timeS: Float64Array.from({ length: points }, (_, i) => first + i * dtS), dtS };
}

/** A gap between two samples of one channel beyond which nothing is interpolated [s]. */
const LONGEST_GAP_S = 2.5;
/** Temperatures, pressures of the day and learned values move slowly: a longer gap still tells. */
const LONGEST_SLOW_GAP_S = 60;
const SLOW = new Set<SignalId>(["ect", "iat", "baro", "ltft1", "ltft2", "idleAirAdapt", "idleTarget", "battery"]);

/**
 * A signal on a clock, shape of the clock. Continuous signals are interpolated between their own samples, states are held; NaN
 * where the signal has a gap, and everywhere when the recording has no such signal.
 */
export function onClock(recording: Recording, signal: SignalId, clock: Clock): Float64Array {
  const result = new Float64Array(clock.timeS.length).fill(Number.NaN);
  const values = recording.channels[signal]?.values;
  if (values === undefined) return result;
  const sampled: number[] = [];
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i]!)) sampled.push(i);
  if (sampled.length === 0) return result;
  const times = Float64Array.from(sampled, (i) => recording.timeS[i]!);
  const kept = Float64Array.from(sampled, (i) => values[i]!);
  const held = describeSignal(signal).isState === true;
  const longestS = SLOW.has(signal) ? LONGEST_SLOW_GAP_S : longestGapS(times);
  let at = Math.max(0, lastAtMost(times, clock.timeS[0]!));
  for (let i = 0; i < result.length; i++) {
    const t = clock.timeS[i]!;
    while (at + 1 < times.length && times[at + 1]! <= t) at++;
    result[i] = valueAt(times, kept, at, t, held, longestS);
  }
  return result;
}

/** Slow channels are sampled once a second or less: the usual spacing of the channel itself sets what a gap is. */
function longestGapS(times: Float64Array): number {
  const meanS = times.length > 1 ? (times[times.length - 1]! - times[0]!) / (times.length - 1) : 0;
  return Math.max(LONGEST_GAP_S, 4 * meanS);
}

function valueAt(times: Float64Array, values: Float64Array, at: number, t: number, held: boolean, longestS: number): number {
  const before = times[at]!;
  if (t <= before) return before - t <= longestS ? values[at]! : Number.NaN;
  const after = times[at + 1];
  if (after === undefined) return t - before <= longestS ? values[at]! : Number.NaN;
  if (after - before > longestS) return Number.NaN;
  if (held) return values[at]!;
  return values[at]! + ((t - before) / (after - before)) * (values[at + 1]! - values[at]!);
}
