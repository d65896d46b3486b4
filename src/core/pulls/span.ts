import { median, quantile } from "../../base/index.ts";
import { robustSd } from "../statistics/index.ts";
import type { SweepSamples } from "./samples.ts";
import { runningMedian } from "./series.ts";

/** The full-load part of a sweep file, by rows of its samples (`from` included, `to` not), and which of them count for the curve. */
export interface SweepSpan {
  readonly from: number;
  readonly to: number;
  /** First row at which the tip-in has died away. */
  readonly settledFrom: number;
  /** 1 where the engine was at full load and the driveline locked; 0 in cuts, shifts, slip. Shape (n) of the samples. */
  readonly counts: Uint8Array;
  /** Cuts of torque within the span [s], e.g. a shift's or a limiter's intervention. */
  readonly cuts: readonly { readonly fromS: number; readonly toS: number; readonly depthFraction: number; readonly rpm: number }[];
}

/** The longest rise of speed: from its foot to its top. */
function longestRise(timeS: Float64Array, kmh: Float64Array): { from: number; to: number } {
  const smooth = runningMedian(kmh, 3);
  let best = { from: 0, to: 0, gain: 0 };
  let foot = 0;
  let top = 0;
  const close = (): void => {
    const gain = smooth[top]! - smooth[foot]!;
    if (gain > best.gain) best = { from: foot, to: top, gain };
  };
  for (let i = 1; i < smooth.length; i++) {
    if (smooth[i]! > smooth[top]!) top = i;
    const range = smooth[top]! - smooth[foot]!;
    if (smooth[i]! < smooth[top]! - Math.max(2, 0.1 * range) || (smooth[i]! < smooth[foot]! && range < 2)) {
      close();
      foot = i;
      top = i;
    }
  }
  close();
  // A rest before the sweep belongs to its foot but not to the sweep.
  let from = best.from;
  while (from < best.to && timeS[from + 1] !== undefined && smooth[from + 1]! <= smooth[best.from]! + 0.02 * best.gain) from++;
  return { from: Math.max(best.from, from - 3), to: best.to };
}

/** Time that a tip-in is given at least before the curve begins [s]: manifold, film and driveline have then answered. */
const TIP_IN_S = 0.3;
/** Force that counts as full load: share of what the sweep holds around the same time. */
const FULL_LOAD_SHARE = 0.9;
/** Deviation of engine speed over road speed from the sweep's own ratio that counts as slip or a shift. */
const RATIO_SHARE = 0.02;

/** Force that no engine falls to within a sweep: less is a speed that is held or rolls out. */
const HELD_SHARE = 0.25;

/** Finds the full-load span; undefined when the file holds no rise of speed under power. */
export function spanOfSweep(samples: SweepSamples): SweepSpan | undefined {
  const { timeS, kmh, forceN } = samples;
  if (timeS.length < 20) return undefined;
  const rise = longestRise(timeS, kmh);
  const full = quantile(forceN.subarray(rise.from, rise.to + 1), 0.8);
  if (rise.to - rise.from < 15 || !(full > 0)) return undefined;
  const dtS = median(timeS.subarray(1).map((t, i) => t - timeS[i]!));
  const half = Math.max(5, Math.round(0.75 / dtS));
  const level = runningMedian(forceN, half);
  let from = rise.from;
  while (from < rise.to && !(forceN[from]! > 0.5 * full)) from++;
  let to = rise.to;
  // A speed that is held after the sweep ends it: its noise reaches the highest speed late, and without force.
  while (to > from && !(forceN[to]! > HELD_SHARE * full)) to--;
  while (to > from && !(forceN[to]! > 0.7 * full * Math.min(1, level[Math.max(from, to - 2 * half)]! / full))) to--;
  if (to - from < 15) return undefined;
  const settledFrom = settledRow(samples, from, to, level);
  const counts = new Uint8Array(timeS.length);
  for (let i = settledFrom; i <= to; i++) counts[i] = forceN[i]! > FULL_LOAD_SHARE * levelWithoutCuts(forceN, i, half, from, to) ? 1 : 0;
  dropSlip(samples, counts, settledFrom, to);
  dropNeighbours(counts, settledFrom, to, Math.max(1, Math.round(0.1 / dtS)));
  return { from, to: to + 1, settledFrom, counts, cuts: cutsOf(samples, counts, settledFrom, to) };
}

/** Upper quartile of force around an instant: what the engine gives when nothing cuts it. */
function levelWithoutCuts(forceN: Float64Array, i: number, half: number, from: number, to: number): number {
  return quantile(forceN.subarray(Math.max(from, i - half), Math.min(to, i + half) + 1), 0.75);
}

/** First row after the tip-in from which force stays within 3 standard deviations (5 % at least) of its running median. */
function settledRow(samples: SweepSamples, from: number, to: number, level: Float64Array): number {
  const { timeS, forceN } = samples;
  let reached = from;
  while (reached < to && forceN[reached]! < FULL_LOAD_SHARE * level[reached]!) reached++;
  const distance = forceN.map((f, i) => f / level[i]! - 1);
  const limit = Math.max(0.05, 3 * robustSd(distance.subarray(reached, to), 0));
  const latestS = timeS[reached]! + 1.5;
  let settled = reached;
  for (let i = reached; i < to && timeS[i]! < latestS; i++) if (distance[i]! > limit) settled = i + 1;
  while (settled < to && timeS[settled]! < timeS[reached]! + TIP_IN_S) settled++;
  return settled;
}

/** Rows where engine and rollers do not turn in the sweep's ratio: wheel slip, converter slip, a shift. */
function dropSlip(samples: SweepSamples, counts: Uint8Array, from: number, to: number): void {
  const ratio = samples.rpm.map((n, i) => n / samples.kmh[i]!);
  const usual = median(ratio.subarray(from, to + 1));
  for (let i = from; i <= to; i++) if (Math.abs(ratio[i]! / usual - 1) > RATIO_SHARE) counts[i] = 0;
}

/** Samples next to a cut belong to its flanks. */
function dropNeighbours(counts: Uint8Array, from: number, to: number, reach: number): void {
  const before = counts.slice();
  for (let i = from; i <= to; i++) if (before[i] === 0) for (let k = Math.max(from, i - reach); k <= Math.min(to, i + reach); k++) counts[k] = 0;
}

function cutsOf(samples: SweepSamples, counts: Uint8Array, from: number, to: number): SweepSpan["cuts"] {
  const cuts: SweepSpan["cuts"][number][] = [];
  for (let i = from; i <= to; i++) {
    if (counts[i] === 1) continue;
    let end = i;
    while (end < to && counts[end + 1] === 0) end++;
    const beside = Math.min(samples.forceN[Math.max(from, i - 1)]!, samples.forceN[Math.min(to, end + 1)]!);
    const least = Math.min(...samples.forceN.subarray(i, end + 1));
    if (end < to && i > from) cuts.push({ fromS: samples.timeS[i]!, toS: samples.timeS[end]!, depthFraction: 1 - least / beside, rpm: samples.rpm[i]! });
    i = end;
  }
  return cuts;
}
