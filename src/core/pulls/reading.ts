import { torqueNm as torqueOfPowerNm } from "../physics/index.ts";
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

/** Readings of the span; the lag runs in from the beginning of the file, so that the tip-in is behind it where the span settles. */
export function readingsOfSweep(samples: SweepSamples, span: SweepSpan, factor: number): PullReadings {
  const lagged = laggedSeries(samples.timeS, samples.powerKw, READING_LAG_S);
  const cut = (values: Float64Array): Float64Array => values.slice(span.settledFrom, span.to);
  const powerKw = cut(lagged).map((p) => factor * p);
  const rpm = cut(samples.rpm);
  return { timeS: cut(samples.timeS), rpm, kmh: cut(samples.kmh), powerKw, torqueNm: powerKw.map((p, i) => torqueOfPowerNm(p, rpm[i]!)) };
}
