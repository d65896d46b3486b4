import { quantile } from "../../base/index.ts";
import type { MomentInput } from "./define.ts";

/** Engine speed above which an engine runs by itself rather than being turned by its starter [rpm]. Common practice. */
export const RUNNING_RPM = 450;

/** 1 where `test(i)` holds, shape (n). */
export function markWhere(n: number, test: (i: number) => boolean): Uint8Array {
  const marks = new Uint8Array(n);
  for (let i = 0; i < n; i++) if (test(i)) marks[i] = 1;
  return marks;
}

/** Widens every mark by so many samples before and after, shape (n). */
export function widened(marks: Uint8Array, before: number, after: number): Uint8Array {
  const wide = new Uint8Array(marks.length);
  for (let i = 0; i < marks.length; i++) if (marks[i] === 1) wide.fill(1, Math.max(0, i - before), Math.min(marks.length, i + after + 1));
  return wide;
}

/** Spread (greatest − least) of the values within ± `half` samples, shape (n); NaN values left out, 0 when nothing is left. */
export function movingSpread(values: Float64Array, half: number): Float64Array {
  return values.map((_, i) => {
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (let j = Math.max(0, i - half); j <= Math.min(values.length - 1, i + half); j++) {
      const value = values[j]!;
      if (value < low) low = value;
      if (value > high) high = value;
    }
    return high >= low ? high - low : 0;
  });
}

export function samplesIn(seconds: number, dtS: number): number {
  return Math.max(1, Math.round(seconds / dtS));
}

/** Seconds that the engine has been running at each sample, shape (n); 0 where it does not run. */
export function runningForS(input: Pick<MomentInput, "rpm" | "dtS">): Float64Array {
  let forS = 0;
  return input.rpm.map((rpm) => {
    if (rpm >= RUNNING_RPM) forS += input.dtS;
    else if (rpm < RUNNING_RPM) forS = 0;
    return forS;
  });
}

/**
 * Throttle position that counts as closed [%]: its position at idle plus a margin. Pedal at rest is used instead where the recording
 * has a pedal, because an idle controller moves an electric throttle.
 */
export function isFootOff(input: Pick<MomentInput, "pedalPercent" | "throttlePercent" | "rpm">): (i: number) => boolean {
  const { pedalPercent, throttlePercent, rpm } = input;
  const restingPedal = quantile(pedalPercent, 0.02);
  const closedThrottle = quantile(
    throttlePercent.filter((_, i) => rpm[i]! >= RUNNING_RPM),
    0.02,
  );
  return (i) => {
    const pedal = pedalPercent[i]!;
    if (!Number.isNaN(pedal)) return pedal <= restingPedal + 1.5;
    const throttle = throttlePercent[i]!;
    return Number.isNaN(throttle) || throttle <= closedThrottle + 3;
  };
}
