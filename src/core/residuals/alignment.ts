import { nelderMead } from "../statistics/index.ts";
import { exhaustDelayS, LAMBDA_HIGH, LAMBDA_LOW } from "./fuel-residual.ts";
import type { ExhaustAlignment } from "./observations.ts";
import { atFraction, firstOrderLag, movingMean } from "./smoothing.ts";

/** What the delay is found from, shape (n) each on one uniform clock. */
export interface AlignmentSignals {
  readonly dtS: number;
  /** Lambda as it was read, not moved. */
  readonly lambdaRaw: Float64Array;
  /** ln(λ_target) − trims: what the controller asked of the mixture. */
  readonly commandLn: Float64Array;
  readonly flowGps: Float64Array;
  /** 1 where the engine runs with fuel and the reading is within the sensor's range. */
  readonly usable: Float64Array;
}

/** Slower than this is the tables' business, not the delay's [s]. */
const SLOW_S = 2.5;
/** Samples of a loop's ripple are worth fewer independent ones. */
const PER_INDEPENDENT = 4;
const LEAST_SAMPLES = 400;
/** An estimate counts as one when it knows the delay at least so much better than the handbook. */
const BETTER_THAN_HANDBOOK = 0.7;

/**
 * Delay τ = a + b / flow and first-order lag of the exhaust measurement, from the quick part of one recording: the values at which
 * the reading, moved back, differs least from what was asked for, seen through the lag. The handbook's values enter as
 * a prior, so that a recording with little movement gives them back.
 *
 * @source PH-09, PH-10; deviations from the curvature of the profile likelihood
 */
export function estimateAlignment(signals: AlignmentSignals, handbook: ExhaustAlignment): ExhaustAlignment {
  const { dtS, lambdaRaw, commandLn, flowGps, usable } = longestUseful(signals);
  const lnReading = lambdaRaw.map((lambda, i) => (usable[i] === 1 ? Math.log(lambda) : Number.NaN));
  const known = usable.reduce((sum, one, i) => sum + (one === 1 && flowGps[i]! > 0 && !Number.isNaN(commandLn[i]!) ? 1 : 0), 0);
  if (known < LEAST_SAMPLES) return handbook;
  const effective = known / PER_INDEPENDENT;
  const spread = (alignment: ExhaustAlignment): number => quickSpread({ dtS, lnReading, commandLn, flowGps }, alignment);
  const at = (x: ArrayLike<number>): ExhaustAlignment => ({ ...handbook, fixedS: Math.exp(x[0]!), perFlowG: Math.exp(x[1]!), lagS: Math.exp(x[2]!) });
  const start = [Math.log(handbook.fixedS), Math.log(handbook.perFlowG), Math.log(handbook.lagS)];
  const priorSd = [handbook.fixedSdS / handbook.fixedS, handbook.perFlowSdG / handbook.perFlowG, handbook.lagSdS / handbook.lagS];
  const cost = (x: ArrayLike<number>): number => {
    let prior = 0;
    for (let k = 0; k < 3; k++) prior += 0.5 * ((x[k]! - start[k]!) / priorSd[k]!) ** 2;
    return prior + 0.5 * effective * Math.log(spread(at(x)));
  };
  const best = nelderMead(cost, start, [0.4, 0.4, 0.4], { tolerance: 0.05, evaluations: 45 });
  const sds = [0, 1, 2].map((k) => deviationAlong(cost, best.at, k, priorSd[k]!));
  const found = at(best.at);
  const isKnown = sds.some((sd, k) => sd < BETTER_THAN_HANDBOOK * priorSd[k]!);
  if (!isKnown) return handbook;
  return { ...found, fixedSdS: sds[0]! * found.fixedS, perFlowSdG: sds[1]! * found.perFlowG, lagSdS: sds[2]! * found.lagS, source: "estimated" };
}

/** What a delay and a lag leave of the quick part of the mixture, as a variance (ln²), shape of the signals (n) each; infinite with too few samples. */
export function quickSpread(
  signals: { readonly dtS: number; readonly lnReading: Float64Array; readonly commandLn: Float64Array; readonly flowGps: Float64Array },
  alignment: ExhaustAlignment,
): number {
  const { dtS, lnReading, commandLn, flowGps } = signals;
  const asked = firstOrderLag(commandLn, alignment.lagS, dtS);
  // The command is moved to the reading, not the other way: interpolating a noisy reading would favour delays of half a sample.
  const left = lnReading.map((reading, i) => (flowGps[i]! > 0 ? reading - atFraction(asked, i - exhaustDelayS(alignment, flowGps[i]!) / dtS) : Number.NaN));
  const slow = movingMean(left, Math.round(SLOW_S / dtS));
  let sum = 0;
  let count = 0;
  for (let i = 0; i < left.length; i++) {
    const quick = left[i]! - slow[i]!;
    if (Number.isNaN(quick)) continue;
    // A bounded square: one misfire or one cut must not decide.
    sum += Math.min(quick * quick, 0.01);
    count++;
  }
  return count < LEAST_SAMPLES ? Number.POSITIVE_INFINITY : sum / count;
}

/** In quick changes the wall film answers as a lag would: only the loop's own ripple in steadier running tells the two apart. */
const ALIGN_FROM_STEADINESS = 0.4;

/** What a recording's delay is found from: running with fuel and the reading on its scale, shape (n) each. */
export function alignmentSignals(of: {
  readonly dtS: number;
  readonly lambdaRaw: Float64Array;
  readonly lambdaTarget: Float64Array;
  readonly trimLn: Float64Array;
  readonly flowGps: Float64Array;
  readonly rpm: Float64Array;
  readonly steadiness: Float64Array;
}): AlignmentSignals {
  const { dtS, lambdaRaw, lambdaTarget, trimLn, flowGps, rpm, steadiness } = of;
  return {
    dtS,
    lambdaRaw,
    commandLn: lambdaTarget.map((target, i) => Math.log(target) - trimLn[i]!),
    flowGps,
    usable: lambdaRaw.map((lambda, i) => (lambda > LAMBDA_LOW && lambda < LAMBDA_HIGH && rpm[i]! > 400 && steadiness[i]! > ALIGN_FROM_STEADINESS ? 1 : 0)),
  };
}

/** Enough of a recording to know its delay; more only costs time. */
const MOST_SAMPLES = 6000;

/** The span of so many samples that holds the most usable ones, found in steps of a tenth of it. */
function longestUseful(signals: AlignmentSignals): AlignmentSignals {
  const n = signals.usable.length;
  if (n <= MOST_SAMPLES) return signals;
  const sums = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) sums[i + 1] = sums[i]! + signals.usable[i]!;
  let best = 0;
  for (let from = 0; from + MOST_SAMPLES <= n; from += MOST_SAMPLES / 10)
    if (sums[from + MOST_SAMPLES]! - sums[from]! > sums[best + MOST_SAMPLES]! - sums[best]!) best = from;
  const part = (values: Float64Array): Float64Array => values.subarray(best, best + MOST_SAMPLES);
  return {
    dtS: signals.dtS,
    lambdaRaw: part(signals.lambdaRaw),
    commandLn: part(signals.commandLn),
    flowGps: part(signals.flowGps),
    usable: part(signals.usable),
  };
}

/** Standard deviation along one unknown, from the curvature of the cost; never more than the prior's. */
function deviationAlong(cost: (x: ArrayLike<number>) => number, at: ArrayLike<number>, k: number, priorSd: number): number {
  const step = 0.25;
  const moved = (by: number): number => cost(Array.from(at as ArrayLike<number>, (value, i) => (i === k ? value + by : value)));
  const curvature = (moved(step) - 2 * moved(0) + moved(-step)) / (step * step);
  return curvature > 0 ? Math.min(priorSd, 1 / Math.sqrt(curvature)) : priorSd;
}
