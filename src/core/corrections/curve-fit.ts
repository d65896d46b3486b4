import {
  addBlock,
  addIndependentPrior,
  addObservation,
  addToSkyline,
  emptyNormalEquations,
  emptySkyline,
  fieldOnGrid,
  gaussianPosterior,
  inverseDiagonal,
  linearWeights,
  robustSd,
  skylineTimes,
  tukeyWeight,
} from "../statistics/index.ts";

/** What a recording says of a curve: at a place on its axis by how much the wanted value differs from the present one, as a logarithm or as a share. Shape (n) each. */
export interface CurveEvidence {
  readonly at: ArrayLike<number>;
  readonly ln: ArrayLike<number>;
  readonly weight: ArrayLike<number>;
  /** Deviation of one sample (ln), and samples that make one independent one. */
  readonly sd: number;
  readonly perIndependent: number;
  /** Spread of samples that all count; four to five times as far off a sample is nonsense. 0.12 when left out. */
  readonly leastScale?: number;
}

export interface CurveFit {
  /** Correction of each breakpoint, as the evidence gives it, and its deviation. */
  readonly ln: Float64Array;
  readonly sd: Float64Array;
  /** Independent samples that bear on each breakpoint. */
  readonly coverage: Float64Array;
}

/** Candidates for how strongly and how quickly the correction may vary along the axis; the evidence chooses. */
const FIELD_SDS = [0.02, 0.05, 0.1, 0.2];
const RANGES = [0.08, 0.16, 0.32];
const ROBUST_PASSES = 3;
const LEAST_SCALE = 0.12;

/**
 * Correction of a curve by its breakpoints: each sample speaks for the two breakpoints beside it as far as it is near them; a
 * common level, and around it a smooth field whose strength and range the data choose by maximum evidence; robust. Where nothing was seen the level carries on, the
 * more doubtful the farther.
 * @param levelSd  prior deviation of the common level (ln)
 * @source rasmussen-williams-2006, lindgren-2011 (from memory)
 */
export function fitCurve(axis: Float64Array, evidence: CurveEvidence, levelSd: number): CurveFit {
  const n = axis.length;
  const span = axis[n - 1]! - axis[0]!;
  const field = fieldOnGrid(axis.map((v) => (v - axis[0]!) / span));
  const first = Int32Array.from({ length: n + 1 }, (_, i) => (i < n ? Math.max(0, i - 2) : 0));
  const robust = new Float64Array(evidence.at.length).fill(1);
  let best: { mean: Float64Array; logEvidence: number; variance: Float64Array } | undefined;
  for (let pass = 0; pass < ROBUST_PASSES; pass++) {
    best = undefined;
    const equations = emptyNormalEquations(emptySkyline(first));
    for (let i = 0; i < evidence.at.length; i++) {
      const weight = (evidence.weight[i]! * robust[i]!) / (evidence.sd ** 2 * evidence.perIndependent);
      if (!(weight > 0)) continue;
      const { first: from, weights } = linearWeights(axis, evidence.at[i]!);
      // Each breakpoint is told what was seen about it: a line through it would take visits of two kinds for a slope.
      for (let k = 0; k < 2; k++) if (weights[k]! > 0) addObservation(equations, [from + k], [1], 1, evidence.ln[i]!, weight * nearness(weights[k]!));
    }
    for (const sd of FIELD_SDS)
      for (const rangeX of RANGES) {
        const prior = emptySkyline(first);
        const { matrix, logDet } = field({ sd, rangeX });
        addBlock(prior, matrix, 0);
        const pulled = skylineTimes(matrix, new Float64Array(n).fill(1));
        for (let k = 0; k < n; k++) addToSkyline(prior, n, k, -pulled[k]!);
        addToSkyline(
          prior,
          n,
          n,
          pulled.reduce((sum, value) => sum + value, 0),
        );
        const levelLogDet = addIndependentPrior(prior, [levelSd], n);
        const posterior = gaussianPosterior(equations, { matrix: prior, logDet: logDet + levelLogDet });
        if (posterior !== undefined && (best === undefined || posterior.logEvidence > best.logEvidence))
          best = { mean: posterior.mean, logEvidence: posterior.logEvidence, variance: inverseDiagonal(posterior.factor) };
      }
    if (best === undefined) throw new RangeError("the axis of the curve does not ascend");
    const left = Float64Array.from(evidence.ln, (ln, i) => ln - valueOnCurve(axis, best!.mean, evidence.at[i]!));
    const scale = Math.max(evidence.sd, robustSd(left), evidence.leastScale ?? LEAST_SCALE);
    for (let i = 0; i < robust.length; i++) robust[i] = tukeyWeight(left[i]! / scale);
  }
  return {
    ln: best!.mean.slice(0, n),
    sd: best!.variance.slice(0, n).map((variance) => Math.sqrt(Math.max(variance, 0))),
    coverage: coverageOf(axis, evidence, robust),
  };
}

/** Value of a curve by linear look-up, ends held. */
export function valueOnCurve(axis: Float64Array, values: Float64Array, at: number): number {
  const { first, weights } = linearWeights(axis, at);
  let sum = 0;
  for (let k = 0; k < 2; k++) sum += weights[k]! * values[first + k]!;
  return sum;
}

/** The nearer breakpoint is told more than its share, the farther one less: what was seen at its own place counts for it. */
function nearness(share: number): number {
  return share * share * (3 - 2 * share);
}

function coverageOf(axis: Float64Array, evidence: CurveEvidence, robust: Float64Array): Float64Array {
  const coverage = new Float64Array(axis.length);
  for (let i = 0; i < evidence.at.length; i++) {
    const { first, weights } = linearWeights(axis, evidence.at[i]!);
    for (let k = 0; k < 2; k++) coverage[first + k] = coverage[first + k]! + (weights[k]! * evidence.weight[i]! * robust[i]!) / evidence.perIndependent;
  }
  return coverage;
}
