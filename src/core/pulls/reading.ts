import { lastAtMost, mean, median } from "../../base/index.ts";
import { powerKw as powerOfTorqueKw, torqueNm as torqueOfPowerNm } from "../physics/index.ts";
import type { PullCurve } from "./curve.ts";
import type { SweepSamples } from "./samples.ts";
import { laggedSeries } from "./series.ts";
import type { SweepSpan } from "./span.ts";

/**
 * Averaging of a power reading [s]: a first-order lag of a tenth of a second, about what an eye or a bench's display gives. Common
 * practice, no published source; the public example sweeps, whose true peaks are known, agree with it.
 */
export const READING_LAG_S = 0.1;

/** The corrected readings over the full-load span, shape (n) each: power through the reading's lag, torque from it and the speed of the instant. */
export interface PullReadings {
  readonly timeS: Float64Array;
  readonly rpm: Float64Array;
  readonly kmh: Float64Array;
  readonly powerKw: Float64Array;
  readonly torqueNm: Float64Array;
}

/**
 * Readings of the span. The lag runs in from the beginning of the file, so that the tip-in is behind it where the span settles.
 *
 * The highest of many noisy readings is too high. The noise of the force cell is told from real unsteadiness of the engine by their
 * autocorrelation, and the reading's deviation from the smooth curve is kept only for the share of its variance that is real.
 */
export function readingsOfSweep(samples: SweepSamples, span: SweepSpan, factor: number, curve: PullCurve | undefined): PullReadings {
  const lagged = laggedSeries(samples.timeS, samples.powerKw, READING_LAG_S);
  const cut = (values: Float64Array): Float64Array => values.slice(span.settledFrom, span.to);
  const [timeS, rpm] = [cut(samples.timeS), cut(samples.rpm)];
  const asRead = cut(lagged).map((p) => factor * p);
  const powerKw =
    curve === undefined
      ? asRead
      : calmed(
          asRead,
          cut(samples.powerKw).map((p) => factor * p),
          { timeS, rpm, counts: span.counts.slice(span.settledFrom, span.to) },
          curve,
        );
  return { timeS, rpm, kmh: cut(samples.kmh), powerKw, torqueNm: powerKw.map((p, i) => torqueOfPowerNm(p, rpm[i]!)) };
}

interface Rows {
  readonly timeS: Float64Array;
  readonly rpm: Float64Array;
  readonly counts: Uint8Array;
}

/** Noise of the reading that is worth taking out [fraction]; less than this lifts a peak by a few tenths of a percent at most. */
const NOISE_FLOOR = 0.0025;

function calmed(asRead: Float64Array, raw: Float64Array, rows: Rows, curve: PullCurve): Float64Array {
  const sdLimit = 2 * median(curve.sdFraction);
  const onCurve = rows.rpm.map((n) => powerOnCurveKw(curve, n, sdLimit));
  const filled = onCurve.map((p, i) => (Number.isNaN(p) ? raw[i]! : p));
  const expected = laggedSeries(rows.timeS, filled, READING_LAG_S);
  const known = (deviation: Float64Array): Float64Array => deviation.map((d, i) => (rows.counts[i] === 1 && Math.abs(d) < 0.1 ? d : Number.NaN));
  const rawDeviation = known(raw.map((p, i) => p / onCurve[i]! - 1));
  const readDeviation = known(asRead.map((p, i) => (Number.isNaN(onCurve[i]!) ? Number.NaN : p / expected[i]! - 1)));
  const stepS = median(rows.timeS.subarray(1).map((t, i) => t - rows.timeS[i]!));
  const passed = 1 - Math.exp(-stepS / READING_LAG_S);
  const noiseVariance = whiteVariance(rawDeviation, stepS) * (passed / (2 - passed));
  if (!(noiseVariance > NOISE_FLOOR ** 2)) return asRead;
  const kept = Math.max(0, 1 - noiseVariance / varianceOf(readDeviation));
  return asRead.map((p, i) => (Number.isNaN(readDeviation[i]!) ? p : expected[i]! + kept * (p - expected[i]!)));
}

/** Power on the smooth curve; NaN where the curve hangs on few samples, as at its ends. */
function powerOnCurveKw(curve: PullCurve, rpm: number, sdLimit: number): number {
  const k = Math.min(Math.max(0, lastAtMost(curve.rpm, rpm)), curve.rpm.length - 2);
  if (!(curve.sdFraction[k]! < sdLimit)) return Number.NaN;
  const share = Math.min(1, Math.max(0, (rpm - curve.rpm[k]!) / (curve.rpm[k + 1]! - curve.rpm[k]!)));
  return powerOfTorqueKw(curve.torqueNm[k]! + share * (curve.torqueNm[k + 1]! - curve.torqueNm[k]!), rpm);
}

function varianceOf(values: Float64Array): number {
  const centre = mean(values);
  return mean(values.map((v) => (v - centre) ** 2));
}

/** Memory of an engine's real unsteadiness that is assumed to tell it from a cell's noise [s]; common practice, no published source. */
const UNSTEADY_MEMORY_S = 0.2;

/**
 * Variance of the white part of a series, the rest being first-order unsteadiness of an assumed memory. Half the mean squares of
 * differences over one and two steps are n + σ²(1 − φ) and n + σ²(1 − φ²); smooth trends hardly touch them.
 *
 * @source time-series-textbooks (from memory)
 */
function whiteVariance(values: Float64Array, stepS: number): number {
  const parting = (k: number): number => mean(values.subarray(k).map((v, i) => (v - values[i]!) ** 2)) / 2;
  const [one, two] = [parting(1), parting(2)];
  return Math.max(0, one - (two - one) * Math.exp(stepS / UNSTEADY_MEMORY_S));
}
