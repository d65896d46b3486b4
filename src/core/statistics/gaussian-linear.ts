import { addToSkyline, factorSkyline, logDeterminant, type Skyline, skylineIndex, solveSkyline } from "./skyline.ts";

/** What many weighted observations of a linear model come down to: AᵀWA, AᵀWy, yᵀWy, Σ ln w and their number. */
export interface NormalEquations {
  readonly matrix: Skyline;
  readonly right: Float64Array;
  squares: number;
  logWeights: number;
  count: number;
}

export function emptyNormalEquations(matrix: Skyline): NormalEquations {
  return { matrix, right: new Float64Array(matrix.n), squares: 0, logWeights: 0, count: 0 };
}

/** Adds one observation y = Σ coefficient · unknown with weight w (inverse variance). Only the first `length` entries are used; unknowns ascend. */
export function addObservation(
  equations: NormalEquations,
  unknowns: ArrayLike<number>,
  coefficients: ArrayLike<number>,
  length: number,
  observed: number,
  weight: number,
): void {
  const { matrix, right } = equations;
  const { first, start, values } = matrix;
  for (let a = 0; a < length; a++) {
    const i = unknowns[a]!;
    const scaled = weight * coefficients[a]!;
    right[i] = right[i]! + scaled * observed;
    const base = start[i]! - first[i]!;
    for (let b = 0; b <= a; b++) {
      const at = base + unknowns[b]!;
      values[at] = values[at]! + scaled * coefficients[b]!;
    }
  }
  equations.squares += weight * observed * observed;
  equations.logWeights += Math.log(weight);
  equations.count++;
}

/** A precision matrix put over some of the unknowns, from unknown `offset` on. */
export function addBlock(into: Skyline, block: Skyline, offset: number, factor = 1): void {
  for (let i = 0; i < block.n; i++) {
    const from = block.first[i]!;
    let at = skylineIndex(into, i + offset, from + offset);
    for (let j = from; j <= i; j++, at++) into.values[at] = into.values[at]! + factor * block.values[block.start[i]! + j - from]!;
  }
}

/** Best values of the unknowns under a proper Gaussian prior, the factor of their precision, and how well prior and data agree. */
export interface GaussianPosterior {
  readonly mean: Float64Array;
  readonly factor: Skyline;
  /** ln of the probability of the data with the unknowns integrated out. */
  readonly logEvidence: number;
}

/**
 * Posterior of a linear Gaussian model with zero prior mean.
 *
 *   ln p(y) = −½ (Σ w y² − mᵀ Aᵀ W y) − ½ ln|Q + AᵀWA| + ½ ln|Q| + ½ Σ ln w − ½ n ln 2π
 *
 * Maximising it over the parameters of Q is restricted maximum likelihood (REML) for the strengths of a penalty.
 *
 * @param prior  Q with the profile of the normal equations, and its ln det
 * @returns undefined when the sum is not positive definite
 * @source rasmussen-williams-2006 (from memory); eq. 2.30 in precision form
 */
export function gaussianPosterior(equations: NormalEquations, prior: { readonly matrix: Skyline; readonly logDet: number }): GaussianPosterior | undefined {
  const values = Float64Array.from(prior.matrix.values);
  const data = equations.matrix.values;
  for (let k = 0; k < values.length; k++) values[k] = values[k]! + data[k]!;
  const sum: Skyline = { ...prior.matrix, values };
  const factor = factorSkyline(sum);
  if (factor === undefined) return undefined;
  const mean = solveSkyline(factor, equations.right);
  let explained = 0;
  for (let i = 0; i < mean.length; i++) explained += mean[i]! * equations.right[i]!;
  const logEvidence =
    -0.5 * (equations.squares - explained) -
    0.5 * logDeterminant(factor) +
    0.5 * prior.logDet +
    0.5 * equations.logWeights -
    0.5 * equations.count * Math.log(2 * Math.PI);
  return { mean, factor, logEvidence };
}

/** Trace of (Q + AᵀWA)⁻¹·AᵀWA: how many unknowns the data decide. `inverse` holds the inverse in the profile. */
export function effectiveParameters(inverse: Skyline, equations: NormalEquations): number {
  let trace = 0;
  for (let i = 0; i < inverse.n; i++)
    for (let at = inverse.start[i]!; at < inverse.start[i + 1]!; at++)
      trace += (at === inverse.start[i + 1]! - 1 ? 1 : 2) * inverse.values[at]! * equations.matrix.values[at]!;
  return trace;
}

/** Generalised cross-validation score, n · RSS / (n − parameters)²: smaller is better. @source craven-wahba-1979 (from memory) */
export function crossValidationScore(count: number, residualSquares: number, parameters: number): number {
  return (count * residualSquares) / (count - parameters) ** 2;
}

/** Independent pulls to zero: adds 1/sd² on the diagonal from unknown `offset` on and returns ln det of that part. */
export function addIndependentPrior(into: Skyline, sds: ArrayLike<number>, offset: number): number {
  let logDet = 0;
  for (let i = 0; i < sds.length; i++) {
    const precision = 1 / (sds[i]! * sds[i]!);
    addToSkyline(into, offset + i, offset + i, precision);
    logDet += Math.log(precision);
  }
  return logDet;
}
