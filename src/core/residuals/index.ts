export { type AlignmentSignals, estimateAlignment } from "./alignment.ts";
export { type AlignmentEvidence, alignmentEvidence, alignmentSentence } from "./alignment-evidence.ts";
export { exhaustDelayS } from "./fuel-residual.ts";
export { settledIdle } from "./idle-residual.ts";
export { effectiveShareOf } from "./independence.ts";
export type { ExhaustAlignment, Observations } from "./observations.ts";
export { HANDBOOK_ALIGNMENT, observe } from "./observe.ts";
export { atFraction, firstOrderLag, movingMean, ratePerS, windowMaximum } from "./smoothing.ts";
