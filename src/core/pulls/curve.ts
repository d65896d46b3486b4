import { lastAtMost, median } from "../../base/index.ts";
import { powerKw as powerOfTorqueKw, torqueNm as torqueOfPowerNm } from "../physics/index.ts";
import { smoothCurve } from "./local-quadratic.ts";
import type { SweepSamples } from "./samples.ts";
import type { SweepSpan } from "./span.ts";

/** Smooth torque and power over engine speed, corrected, shape (n) each; NaN where too few samples lie near. */
export interface PullCurve {
  readonly rpm: Float64Array;
  readonly torqueNm: Float64Array;
  readonly powerKw: Float64Array;
  /** Standard deviation of the curve, as a share of torque [fraction]: within the sweep, not from sweep to sweep. */
  readonly sdFraction: Float64Array;
  /** Half width of the smoothing window [s]. */
  readonly bandwidthS: number;
  readonly samplesPerIndependent: number;
  /** Standard deviation of a sample about the curve [fraction of torque]. */
  readonly scatterFraction: number;
}

const STEP_RPM = 25;
const BANDWIDTHS_S = [0.7, 1, 1.4, 2, 2.8, 4] as const;

/** Instants at which engine speed first reaches each multiple of the step, from counted rows only; gaps are left to the fit. */
function gridOf(samples: SweepSamples, rows: Int32Array): { rpm: number[]; timeS: number[] } {
  const rpmUp = new Float64Array(rows.length);
  rows.forEach((row, i) => {
    rpmUp[i] = Math.max(samples.rpm[row]!, i === 0 ? 0 : rpmUp[i - 1]! + 1e-9);
  });
  const rpm: number[] = [];
  const timeS: number[] = [];
  for (let n = Math.ceil(rpmUp[0]! / STEP_RPM) * STEP_RPM; n <= rpmUp.at(-1)!; n += STEP_RPM) {
    const k = Math.min(Math.max(0, lastAtMost(rpmUp, n)), rows.length - 2);
    const share = (n - rpmUp[k]!) / (rpmUp[k + 1]! - rpmUp[k]!);
    const [before, after] = [samples.timeS[rows[k]!]!, samples.timeS[rows[k + 1]!]!];
    rpm.push(n);
    timeS.push(before + Math.min(1, Math.max(0, share)) * (after - before));
  }
  return { rpm, timeS };
}

/** At the ends a parabola can hang on next to nothing: a curve begins and ends where its deviation is this multiple of the usual one at most. */
const WIDEST = 6;

function knownSpan(fits: readonly { readonly value: number; readonly sd: number }[]): readonly [from: number, to: number] {
  const limit = WIDEST * median(Float64Array.from(fits, (fit) => fit.sd));
  const isKnown = (fit: { readonly value: number; readonly sd: number } | undefined): boolean => fit !== undefined && fit.value > 0 && fit.sd <= limit;
  let [from, to] = [0, fits.length];
  while (from < to && !isKnown(fits[from])) from++;
  while (to > from && !isKnown(fits[to - 1])) to--;
  return [from, to];
}

/** Smooths torque over time within the span, cuts and slip left out, and reads it off at even engine speeds. */
export function curveOfSweep(samples: SweepSamples, span: SweepSpan, factor: number): PullCurve | undefined {
  const rows = Int32Array.from(samples.timeS.keys()).filter((i) => span.counts[i] === 1);
  if (rows.length < 20) return undefined;
  const timeS = Float64Array.from(rows, (i) => samples.timeS[i]!);
  const torque = Float64Array.from(rows, (i) => factor * torqueOfPowerNm(samples.powerKw[i]!, samples.rpm[i]!));
  const durationS = timeS.at(-1)! - timeS[0]!;
  const usable = BANDWIDTHS_S.filter((h) => h <= Math.max(0.7, durationS / 3));
  const smooth = smoothCurve(timeS, torque, usable);
  const whole = gridOf(samples, rows);
  const fitted = whole.timeS.map((t) => smooth.at(t));
  const [from, to] = knownSpan(fitted);
  if (to - from < 2) return undefined;
  const grid = { rpm: whole.rpm.slice(from, to), timeS: whole.timeS.slice(from, to) };
  const fits = fitted.slice(from, to);
  const torqueNm = Float64Array.from(fits, (fit) => fit.value);
  const rpm = Float64Array.from(grid.rpm);
  const sorted = torque.toSorted();
  return {
    rpm,
    torqueNm,
    powerKw: torqueNm.map((t, i) => powerOfTorqueKw(t, rpm[i]!)),
    sdFraction: Float64Array.from(fits, (fit) => fit.sd / fit.value),
    bandwidthS: smooth.bandwidth,
    samplesPerIndependent: smooth.samplesPerIndependent,
    scatterFraction: smooth.residualSd / sorted[sorted.length >> 1]!,
  };
}

/** A peak with where it lies and its standard deviation [fraction]; NaN for a reading, whose scatter is that of the sweep. */
export interface Peak {
  readonly value: number;
  readonly rpm: number;
  readonly sdFraction: number;
}

/**
 * Highest value of a series over engine speed; undefined when it holds no number. Where deviations are given, places of more than
 * twice their median are passed over: at the ends a parabola hangs on few samples.
 */
export function peakOf(values: Float64Array, rpm: Float64Array, sdFraction?: Float64Array): Peak | undefined {
  const limit = sdFraction === undefined ? Number.POSITIVE_INFINITY : 2 * median(sdFraction);
  let best = -1;
  for (let i = 0; i < values.length; i++) if (values[i]! > (best < 0 ? Number.NEGATIVE_INFINITY : values[best]!) && !((sdFraction?.[i] ?? 0) > limit)) best = i;
  return best < 0 ? undefined : { value: values[best]!, rpm: rpm[best]!, sdFraction: sdFraction?.[best] ?? Number.NaN };
}
