import { clamp } from "../../base/index.ts";
import { ratePerS, windowMaximum } from "./smoothing.ts";

/**
 * Relative rates at which a sample is worth half: wall film (a fifth of the fuel for half a second) and manifold filling each err by
 * about two percent there. They are rates over a second: the roll of a big cam's idle comes out with its mean and should not cost the idle.
 */
const HALF_MAP_PER_S = 0.2;
const HALF_RPM_PER_S = 0.14;
const HALF_THROTTLE_PERCENT_PER_S = 6;
const RATE_WINDOW_S = 1.1;
/** The exhaust sensor and the wall film remember about this long [s]. */
const MEMORY_S = 0.8;
const AFTER_START_S = 4;
const AFTER_FUEL_CUT_S = 1.5;
const RUNNING_RPM = 400;

/**
 * How much each sample counts, 0–1, shape (n): the product of the steadiness of speed, pressure and throttle over the last
 * moments, and 0 while cranking, in the seconds after a start, and in and after a fuel cut.
 */
export function steadinessOf(signals: {
  dtS: number;
  rpm: Float64Array;
  mapKpa: Float64Array;
  throttlePercent: Float64Array;
  fuelCut: Float64Array;
}): Float64Array {
  const { dtS, rpm, mapKpa, throttlePercent, fuelCut } = signals;
  const steps = (seconds: number): number => Math.round(seconds / dtS);
  const recentWorst = (rates: Float64Array): Float64Array => windowMaximum(rates.map(Math.abs), steps(MEMORY_S), steps(0.2), 0);
  const mapRate = recentWorst(ratePerS(mapKpa, dtS, RATE_WINDOW_S).map((rate, i) => rate / mapKpa[i]!));
  const rpmRate = recentWorst(ratePerS(rpm, dtS, RATE_WINDOW_S).map((rate, i) => rate / Math.max(rpm[i]!, RUNNING_RPM)));
  const throttleRate = recentWorst(ratePerS(throttlePercent, dtS, RATE_WINDOW_S));
  const stopped = windowMaximum(
    rpm.map((speed) => (speed >= RUNNING_RPM ? 0 : 1)),
    steps(AFTER_START_S),
    steps(0.3),
    1,
  );
  const cut = windowMaximum(fuelCut, steps(AFTER_FUEL_CUT_S), steps(0.3), 0);
  return rpm.map((_, i) => {
    if (stopped[i]! > 0 || cut[i]! > 0) return 0;
    return worth(mapRate[i]! / HALF_MAP_PER_S) * worth(rpmRate[i]! / HALF_RPM_PER_S) * worth(throttleRate[i]! / HALF_THROTTLE_PERCENT_PER_S);
  });
}

/** 1 when still, ½ at the half rate, falling with the fourth power, 0 when hopeless. */
function worth(relativeRate: number): number {
  const share = 1 / (1 + relativeRate ** 4);
  return share < 0.02 ? 0 : clamp(share, 0, 1);
}

/** 1 where no fuel is given although the engine turns: pulse at nothing, or lambda far off scale with the throttle shut. Shape (n). */
export function fuelCutOf(signals: { rpm: Float64Array; injMs: Float64Array; lambdaRaw: Float64Array; throttlePercent: Float64Array }): Float64Array {
  const { rpm, injMs, lambdaRaw } = signals;
  return rpm.map((speed, i) => {
    if (!(speed > 700)) return 0;
    if (!Number.isNaN(injMs[i]!)) return injMs[i]! < 0.05 ? 1 : 0;
    return lambdaRaw[i]! > 1.6 ? 1 : 0;
  });
}
