export { autocorrelation, correlationTime, effectiveSamplesOfFirstOrder, samplesPerIndependent } from "./autocorrelation.ts";
export { factorDense, inverseDense, type LeastSquares, leastSquares, logDeterminantDense, type Square, solveDense } from "./dense.ts";
export {
  chiSquareCdf,
  logGamma,
  normalCdf,
  normalQuantile,
  regularisedBeta,
  regularisedGammaP,
  regularisedGammaQ,
  studentTCdf,
  studentTQuantile,
} from "./distributions.ts";
export { type FieldPrecision, type FieldScale, fieldOnGrid } from "./gaussian-field.ts";
export {
  addBlock,
  addIndependentPrior,
  addObservation,
  crossValidationScore,
  effectiveParameters,
  emptyNormalEquations,
  type GaussianPosterior,
  gaussianPosterior,
  type NormalEquations,
} from "./gaussian-linear.ts";
export { cubicWeights, linearWeights, type NodeWeights } from "./interpolation.ts";
export { isotonicFit } from "./isotonic.ts";
export { goldenSection, type Minimum, nelderMead } from "./minimise.ts";
export { huberWeight, robustSd, tukeyWeight, weightedMedian, weightedQuantile } from "./robust.ts";
export {
  addToSkyline,
  bandedProfile,
  copySkyline,
  emptySkyline,
  factorSkyline,
  inverseDiagonal,
  inverseInProfile,
  logDeterminant,
  type Skyline,
  skylineIndex,
  skylineTimes,
  solveSkyline,
} from "./skyline.ts";
