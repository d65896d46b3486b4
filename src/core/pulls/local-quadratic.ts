import { lastAtMost, median } from "../../base/index.ts";
import { robustSd, samplesPerIndependent, tukeyWeight } from "../statistics/index.ts";

/** A smooth curve through samples, with the bandwidth that cross-validation chose and how sure the curve is. */
export interface SmoothCurve {
  /** Half width of the tricube window [unit of x]. */
  readonly bandwidth: number;
  /** Samples that one independent sample is worth. */
  readonly samplesPerIndependent: number;
  /** Standard deviation of a sample about the curve [unit of y]. */
  readonly residualSd: number;
  /** Curve and its standard deviation at any x; NaN where too few samples lie near. */
  at(x: number): { readonly value: number; readonly sd: number };
}

interface LocalFit {
  readonly value: number;
  /** Sum of squared weights of the samples in the value: its variance over that of a sample. */
  readonly squaredWeights: number;
  /** Weight of the sample at this x itself. */
  readonly ownWeight: number;
}

const NOTHING: LocalFit = { value: Number.NaN, squaredWeights: Number.NaN, ownWeight: Number.NaN };

/** Weighted least-squares parabola around `at`: value there as a weighted sum of the samples. */
function localFit(x: Float64Array, y: Float64Array, robust: Float64Array, at: number, bandwidth: number): LocalFit {
  const from = lastAtMost(x, at - bandwidth) + 1;
  const to = lastAtMost(x, at + bandwidth) + 1;
  if (to - from < 5) return NOTHING;
  let [s0, s1, s2, s3, s4] = [0, 0, 0, 0, 0];
  for (let i = from; i < to; i++) {
    const u = (x[i]! - at) / bandwidth;
    const w = tricube(u) * robust[i]!;
    s0 += w;
    s1 += w * u;
    s2 += w * u * u;
    s3 += w * u ** 3;
    s4 += w * u ** 4;
  }
  const determinant = s0 * (s2 * s4 - s3 * s3) - s1 * (s1 * s4 - s2 * s3) + s2 * (s1 * s3 - s2 * s2);
  if (!(determinant > 1e-9 * s0 ** 3)) return NOTHING;
  const [a, b, c] = [(s2 * s4 - s3 * s3) / determinant, (s2 * s3 - s1 * s4) / determinant, (s1 * s3 - s2 * s2) / determinant];
  let value = 0;
  let squaredWeights = 0;
  for (let i = from; i < to; i++) {
    const u = (x[i]! - at) / bandwidth;
    const weight = tricube(u) * robust[i]! * (a + b * u + c * u * u);
    value += weight * y[i]!;
    squaredWeights += weight * weight;
  }
  return { value, squaredWeights, ownWeight: a };
}

function tricube(u: number): number {
  const left = 1 - Math.abs(u) ** 3;
  return left > 0 ? left ** 3 : 0;
}

interface Trial {
  readonly score: number;
  readonly residuals: Float64Array;
  readonly freedom: number;
}

function trial(x: Float64Array, y: Float64Array, robust: Float64Array, bandwidth: number, perIndependent: number): Trial {
  const residuals = new Float64Array(x.length);
  let trace = 0;
  let square = 0;
  let n = 0;
  for (let i = 0; i < x.length; i++) {
    const fit = localFit(x, y, robust, x[i]!, bandwidth);
    residuals[i] = y[i]! - fit.value;
    if (Number.isNaN(fit.value) || robust[i] === 0) continue;
    n++;
    trace += fit.ownWeight * robust[i]!;
    square += robust[i]! * residuals[i]! ** 2;
  }
  const left = 1 - (trace * perIndependent) / n;
  return { score: left > 0 && n > 0.8 * x.length ? square / n / left ** 2 : Number.POSITIVE_INFINITY, residuals, freedom: n - trace };
}

/** Largest correlation over the reach that is believed: more than this is shape of the curve, not unsteadiness. */
const LARGEST_CORRELATION = 0.7;
/** Reach of the differences that tell noise, as a share of the narrowest window. */
const REACH_SHARE = 0.4;

/**
 * Standard deviation and memory of first-order noise, from how fast samples part over a reach and over twice the reach: a smooth curve taken out
 * before hides slow noise from the autocorrelation, but hardly touches these differences. Half the mean square of a difference over k
 * steps is σ² (1 − φ^k). The reach is longer than the lag of a force cell, which makes neighbours alike.
 *
 * @source time-series-textbooks (from memory)
 */
function unsteadinessOf(x: Float64Array, residuals: Float64Array, reachX: number): { readonly sd: number; readonly perIndependent: number } {
  const stepX = median(x.subarray(1).map((value, i) => value - x[i]!));
  const parting = (k: number): number => {
    let square = 0;
    let pairs = 0;
    for (let i = 0; i + k < x.length; i++) {
      const difference = residuals[i + k]! - residuals[i]!;
      if (Number.isNaN(difference) || x[i + k]! - x[i]! > (k + 0.5) * stepX) continue;
      square += difference ** 2;
      pairs++;
    }
    return square / pairs / 2;
  };
  const steps = Math.max(1, Math.round(reachX / stepX));
  const near = parting(steps);
  const overSteps = Math.min(LARGEST_CORRELATION, Math.max(0, parting(2 * steps) / near - 1));
  if (!(near > 0) || Number.isNaN(overSteps)) return { sd: 0, perIndependent: 1 };
  const correlation = overSteps ** (1 / steps);
  return { sd: Math.sqrt(near / (1 - overSteps)), perIndependent: (1 + correlation) / (1 - correlation) };
}

/**
 * Local quadratic regression with tricube weights, bisquare weights against outliers, and a bandwidth chosen by generalised
 * cross-validation in which every sample counts only as the share of an independent one that it is.
 *
 * Samples of a sweep are not independent: plain cross-validation would follow the noise and lift the peak. Quadratic rather than
 * linear, because a linear fit cuts a peak's top off.
 *
 * @param x ascending, shape (n); y shape (n), no NaN
 * @param bandwidths candidates, ascending
 * @source cleveland-1979 (from memory), fan-gijbels-1996 (from memory)
 */
export function smoothCurve(x: Float64Array, y: Float64Array, bandwidths: readonly number[]): SmoothCurve {
  const pilot = bandwidths[Math.floor(bandwidths.length / 2)]!;
  let robust = new Float64Array(x.length).fill(1);
  let residuals = trial(x, y, robust, pilot, 1).residuals;
  for (let round = 0; round < 2; round++) {
    const sd = robustSd(residuals, 0);
    robust = residuals.map((r) => (Number.isNaN(r) ? 0 : tukeyWeight(r / sd, 6)));
    residuals = trial(x, y, robust, pilot, 1).residuals;
  }
  const unsteady = unsteadinessOf(
    x,
    residuals.map((r, i) => (robust[i]! > 0.3 ? r : Number.NaN)),
    REACH_SHARE * bandwidths[0]!,
  );
  const perIndependent = Math.max(unsteady.perIndependent, samplesPerIndependent(residuals.map((r, i) => (robust[i]! > 0.3 ? r : Number.NaN))));
  let best = { bandwidth: pilot, trial: trial(x, y, robust, pilot, perIndependent) };
  for (const bandwidth of bandwidths) {
    const candidate = trial(x, y, robust, bandwidth, perIndependent);
    if (candidate.score < best.trial.score) best = { bandwidth, trial: candidate };
  }
  const { bandwidth } = best;
  const known = best.trial.residuals.filter((r, i) => !Number.isNaN(r) && robust[i]! > 0);
  const residualSd = Math.max(robustSd(known, median(known)), unsteady.sd, Number.EPSILON);
  return {
    bandwidth,
    samplesPerIndependent: perIndependent,
    residualSd,
    at: (place) => {
      const fit = localFit(x, y, robust, place, bandwidth);
      return { value: fit.value, sd: residualSd * Math.sqrt(fit.squaredWeights * perIndependent) };
    },
  };
}
