import {
  addIndependentPrior,
  addObservation,
  emptyNormalEquations,
  emptySkyline,
  type GaussianPosterior,
  gaussianPosterior,
  inverseDiagonal,
  robustSd,
  samplesPerIndependent,
  tukeyWeight,
} from "../../statistics/index.ts";
import { type AirError, airErrorOf } from "./air-error.ts";
import type { InjectorSamples } from "./injector-samples.ts";

/** What a drive says of injectors that are not the table's. */
export interface InjectorFit {
  /** ln(real flow / table's), its deviation. */
  readonly flowLn: number;
  readonly flowSdLn: number;
  /** Real dead time less the table's at a battery voltage [ms], and its deviation. */
  readonly shiftMs: (batteryV: number) => number;
  readonly shiftSdMs: (batteryV: number) => number;
  /** Probability of each story after the fit; they sum to 1. */
  readonly shares: Readonly<Record<Story, number>>;
  readonly samples: number;
  /** Independent samples behind the fit. */
  readonly effective: number;
  /** Deviation of what the fit leaves (ln). */
  readonly noiseSdLn: number;
}

export type Story = "flow" | "deadTime" | "both";

/** What is believable of injectors before the drive is looked at, by story: deviations of ln flow and of dead time [ms]. Common practice, no published source. */
const STORIES: Readonly<Record<Story, { readonly flowSdLn: number; readonly shiftSdMs: number }>> = {
  flow: { flowSdLn: 0.18, shiftSdMs: 0.015 },
  deadTime: { flowSdLn: 0.01, shiftSdMs: 0.25 },
  both: { flowSdLn: 0.18, shiftSdMs: 0.25 },
};
/** Dead time goes as voltage to a power near this; magnets and return springs differ. @source PH-05 (trend), common-practice */
const VOLT_POWERS = [
  { power: 0.9, share: 0.3 },
  { power: 1.2, share: 0.4 },
  { power: 1.5, share: 0.3 },
];
export const REFERENCE_V = 14;

const PASSES = 6;
/** Only the shift of dead time is not linear: when it stays to this, all stays [ms]. */
const SETTLED_MS = 1e-4;
const LEAST_SAMPLES = 30;
const MOST_PER_INDEPENDENT = 20;
/** No amount of samples averages out the bend of air tables between their breakpoints (ln). */
const LEAST_NOISE = 0.008;
const LEAST_PER_INDEPENDENT = 4;
/** Variance of a sample before anything is known: 5 %, four to one. */
const FIRST_VARIANCE = 4 * 0.05 ** 2;

/**
 * Flow and dead time from fuel residual over pulse width. With real flow e^f times the table's and dead time longer by s:
 *
 *   r = −f − ln(1 − s (14/V)^p / open) + what sound air tables leave
 *
 * A flow error is the same at every pulse, a dead-time error goes as one over the open time; a drive that holds only short or
 * only long pulses cannot tell them apart, and the two deviations say so. Three stories (flow, dead time, both) and three powers of voltage are weighed
 * by their evidence and averaged. Undefined with fewer than 30 s of steady running.
 *
 * @param prior  how probable each story is before; need not sum to 1
 */
export function fitInjectors(samples: InjectorSamples, prior: Readonly<Record<Story, number>>): InjectorFit | undefined {
  if (samples.n < LEAST_SAMPLES) return undefined;
  const air = airErrorOf(samples);
  const free = robustFit(samples, air);
  const candidates: { story: Story; power: number; ln: number; mean: Float64Array; variance: Float64Array }[] = [];
  for (const story of ["flow", "deadTime", "both"] as const)
    for (const { power, share } of VOLT_POWERS) {
      const { posterior } = settled(samples, air, { story, power, weights: free.weights, from: free.mean });
      candidates.push({
        story,
        power,
        ln: posterior.logEvidence + Math.log(share) + Math.log(Math.max(1e-6, prior[story])),
        mean: posterior.mean,
        variance: inverseDiagonal(posterior.factor),
      });
    }
  const most = Math.max(...candidates.map(({ ln }) => ln));
  const total = candidates.reduce((sum, { ln }) => sum + Math.exp(ln - most), 0);
  const weighed = candidates.map((candidate) => ({ ...candidate, share: Math.exp(candidate.ln - most) / total }));
  const moments = (value: (c: (typeof weighed)[number]) => number, variance: (c: (typeof weighed)[number]) => number): { mean: number; sd: number } => {
    const mean = weighed.reduce((sum, c) => sum + c.share * value(c), 0);
    return { mean, sd: Math.sqrt(weighed.reduce((sum, c) => sum + c.share * (variance(c) + (value(c) - mean) ** 2), 0)) };
  };
  const flow = moments(
    (c) => c.mean[0]!,
    (c) => c.variance[0]!,
  );
  const shift = (batteryV: number): { mean: number; sd: number } => {
    const growth = (power: number): number => (REFERENCE_V / Math.max(5, batteryV)) ** power;
    return moments(
      (c) => c.mean[1]! * growth(c.power),
      (c) => c.variance[1]! * growth(c.power) ** 2,
    );
  };
  const shareOf = (story: Story): number => weighed.reduce((sum, c) => sum + (c.story === story ? c.share : 0), 0);
  return {
    flowLn: flow.mean,
    flowSdLn: flow.sd,
    shiftMs: (batteryV) => shift(batteryV).mean,
    shiftSdMs: (batteryV) => shift(batteryV).sd,
    shares: { flow: shareOf("flow"), deadTime: shareOf("deadTime"), both: shareOf("both") },
    samples: samples.n,
    effective: free.effective,
    noiseSdLn: free.noiseSd,
  };
}

type Weights = { readonly fuel: Float64Array; readonly model: Float64Array };

interface Settled {
  readonly posterior: GaussianPosterior;
  /** What the fit leaves, shape (n). */
  readonly fuel: Float64Array;
  readonly model: Float64Array;
}

/** Posterior of one story at fixed weights: linearised about its own mean until it stays. */
function settled(samples: InjectorSamples, air: AirError, options: { story: Story; power: number; weights: Weights; from: Float64Array }): Settled {
  let mean = options.from;
  let posterior: GaussianPosterior | undefined;
  for (let pass = 0; pass < PASSES; pass++) {
    posterior = linearised(samples, air, options, mean);
    const moved = Math.abs(posterior.mean[1]! - mean[1]!);
    mean = posterior.mean;
    if (moved < SETTLED_MS) break;
  }
  return {
    posterior: posterior!,
    fuel: samples.fuelLn.map((seen, i) => seen - injectorsLn(samples, i, mean, options.power).value - airLn(air, air.onFuel, i, mean)),
    model: samples.modelLn.map((seen, i) => seen - airLn(air, air.onModel, i, mean)),
  };
}

function linearised(
  samples: InjectorSamples,
  air: AirError,
  { story, power, weights }: { story: Story; power: number; weights: Weights },
  about: Float64Array,
): GaussianPosterior {
  const size = 2 + air.width;
  const shape = new Int32Array(size);
  const unknowns = new Int32Array(size);
  const coefficients = new Float64Array(size);
  const equations = emptyNormalEquations(emptySkyline(shape));
  for (let i = 0; i < samples.n; i++) {
    if (weights.fuel[i]! > 0) {
      const { value, perShift } = injectorsLn(samples, i, about, power);
      unknowns[0] = 0;
      coefficients[0] = -1;
      unknowns[1] = 1;
      coefficients[1] = perShift;
      const length = pushAir(air, air.onFuel, i, unknowns, coefficients, 2);
      addObservation(equations, unknowns, coefficients, length, samples.fuelLn[i]! - value - about[0]! + perShift * about[1]!, weights.fuel[i]!);
    }
    if (weights.model[i]! > 0) {
      const length = pushAir(air, air.onModel, i, unknowns, coefficients, 0);
      addObservation(equations, unknowns, coefficients, length, samples.modelLn[i]!, weights.model[i]!);
    }
  }
  const matrix = emptySkyline(shape);
  const { flowSdLn, shiftSdMs } = STORIES[story];
  const logDet = addIndependentPrior(matrix, [flowSdLn, shiftSdMs, ...air.sds], 0);
  const posterior = gaussianPosterior(equations, { matrix, logDet });
  if (posterior === undefined) throw new RangeError("the prior of the injectors is not positive definite");
  return posterior;
}

/** Appends what the air error adds at a sample; returns the new length. */
function pushAir(air: AirError, design: Float64Array, i: number, unknowns: Int32Array, coefficients: Float64Array, from: number): number {
  let length = from;
  for (let k = 0; k < air.width; k++) {
    const coefficient = design[i * air.width + k]!;
    if (coefficient === 0) continue;
    unknowns[length] = 2 + k;
    coefficients[length++] = coefficient;
  }
  return length;
}

/** Fuel residual that flow and dead time predict, and its slope over the shift of dead time [1/ms]. */
function injectorsLn(samples: InjectorSamples, i: number, at: Float64Array, power: number): { value: number; perShift: number } {
  const perMs = (REFERENCE_V / samples.batteryV[i]!) ** power / samples.openMs[i]!;
  // A shift as long as the pulse would leave no fuel: hold the logarithm where it still has a meaning.
  const open = Math.max(0.2, 1 - at[1]! * perMs);
  return { value: -at[0]! - Math.log(open), perShift: perMs / open };
}

function airLn(air: AirError, design: Float64Array, i: number, mean: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < air.width; k++) sum += design[i * air.width + k]! * mean[2 + k]!;
  return sum;
}

/** Everything free at once, robustly: finds outliers, noise and how many samples are worth one. */
function robustFit(samples: InjectorSamples, air: AirError): { weights: Weights; mean: Float64Array; noiseSd: number; effective: number } {
  let mean: Float64Array = new Float64Array(2 + air.width);
  let weights: Weights = {
    fuel: samples.weight.map((weight) => weight / FIRST_VARIANCE),
    model: samples.weight.map((weight, i) => (Number.isNaN(samples.modelLn[i]!) ? 0 : weight / FIRST_VARIANCE)),
  };
  let noise = { sd: 0, effective: 0 };
  for (let pass = 0; pass < PASSES; pass++) {
    const fit = settled(samples, air, { story: "both", power: 1.2, weights, from: mean });
    mean = fit.posterior.mean;
    const fuel = reweighed(samples.weight, fit.fuel);
    weights = { fuel: fuel.weights, model: reweighed(samples.weight, fit.model).weights };
    noise = fuel;
  }
  return { weights, mean, noiseSd: noise.sd, effective: noise.effective };
}

/** Precision of each sample by what a fit left of it: noise, how many neighbours say the same, and outliers. */
function reweighed(weight: Float64Array, left: Float64Array): { weights: Float64Array; sd: number; effective: number } {
  const steady = left.map((v, i) => (weight[i]! > 0.3 ? v : Number.NaN));
  const spread = robustSd(steady, 0);
  const sd = Math.max(LEAST_NOISE, Number.isFinite(spread) ? spread : robustSd(left, 0) || 0);
  const cut = steady.map((v) => (Math.abs(v) < 4 * sd ? v : Number.NaN));
  const perIndependent = Math.min(MOST_PER_INDEPENDENT, Math.max(LEAST_PER_INDEPENDENT, samplesPerIndependent(cut, 80)));
  const weights = left.map((v, i) => (Number.isNaN(v) ? 0 : (weight[i]! * tukeyWeight(v / sd, 6)) / (sd * sd * perIndependent)));
  return { weights, sd, effective: weights.reduce((sum, v) => sum + v, 0) * sd * sd };
}
