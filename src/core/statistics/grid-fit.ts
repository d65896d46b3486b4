import { requireSameLength } from "../../base/index.ts";
import { fieldOnGrid } from "./gaussian-field.ts";
import { addObservation, emptyNormalEquations, type GaussianPosterior, gaussianPosterior, type NormalEquations } from "./gaussian-linear.ts";
import { linearWeights } from "./interpolation.ts";
import { nelderMead } from "./minimise.ts";
import { bandedProfile, emptySkyline, inverseDiagonal } from "./skyline.ts";

/** Node values of a table read by bilinear interpolation that fit scattered samples best, with their deviations. */
export interface GridFit {
  /** Shape (rows · columns), row-major. */
  readonly nodes: Float64Array;
  readonly sd: Float64Array;
  readonly noiseSd: number;
  readonly field: { readonly sd: number; readonly rangeX: number; readonly rangeY: number };
  readonly logEvidence: number;
}

/**
 * Fits the nodes of a bilinear table to scattered samples z(x, y): a smooth zero-mean field whose size, two ranges and noise
 * the data choose by maximum evidence. One pass over the samples; after that the work does not depend on their number.
 *
 * @param samples  x, y, z and optional weights of shape (n); a NaN anywhere leaves the sample out
 * @param xNodes   ascending; @param yNodes ascending
 */
export function fitGrid(
  samples: { readonly x: Float64Array; readonly y: Float64Array; readonly z: Float64Array; readonly weight?: Float64Array },
  xNodes: Float64Array,
  yNodes: Float64Array,
): GridFit {
  requireSameLength({ x: samples.x, y: samples.y, z: samples.z });
  const equations = gridEquations(samples, xNodes, yNodes);
  const field = fieldOnGrid(xNodes, yNodes);
  const widths = [xNodes[xNodes.length - 1]! - xNodes[0]! || 1, yNodes[yNodes.length - 1]! - yNodes[0]! || 1];
  // Field and noise only enter by their ratio; their common size follows from what is left over, so three numbers are searched for, not four.
  const fitAt = (x: ArrayLike<number>): { posterior: GaussianPosterior; noiseVariance: number; logEvidence: number } | undefined => {
    const [ratio, rangeX, rangeY] = [Math.exp(x[0]!), Math.exp(x[1]!), Math.exp(x[2]!)];
    const posterior = gaussianPosterior(equations, field({ sd: ratio, rangeX, rangeY }));
    if (posterior === undefined) return undefined;
    let left = equations.squares;
    for (let k = 0; k < posterior.mean.length; k++) left -= posterior.mean[k]! * equations.right[k]!;
    const noiseVariance = Math.max(left, 1e-300) / Math.max(1, equations.count);
    // With unit noise the evidence holds −left/2; with the best noise variance that is −n/2, and every weight is divided by it.
    const logEvidence = posterior.logEvidence + 0.5 * left - 0.5 * equations.count * (1 + Math.log(noiseVariance));
    return { posterior, noiseVariance, logEvidence };
  };
  const start = [Math.log(3), Math.log(0.3 * widths[0]!), Math.log(0.3 * widths[1]!)];
  const cost = (x: Float64Array): number => {
    if (x.some((v, k) => Math.abs(v - start[k]!) > 7)) return Number.POSITIVE_INFINITY;
    const fit = fitAt(x);
    return fit === undefined ? Number.POSITIVE_INFINITY : -fit.logEvidence;
  };
  const best = nelderMead(cost, start, [1, 0.5, 0.5], { tolerance: 0.5, evaluations: 30 });
  const fit = fitAt(best.at) ?? fitAt(start)!;
  const noiseSd = Math.sqrt(fit.noiseVariance);
  return {
    nodes: fit.posterior.mean,
    sd: inverseDiagonal(fit.posterior.factor).map((variance) => noiseSd * Math.sqrt(variance)),
    noiseSd,
    field: { sd: noiseSd * Math.exp(best.at[0]!), rangeX: Math.exp(best.at[1]!), rangeY: Math.exp(best.at[2]!) },
    logEvidence: fit.logEvidence,
  };
}

function gridEquations(
  samples: { readonly x: Float64Array; readonly y: Float64Array; readonly z: Float64Array; readonly weight?: Float64Array },
  xNodes: Float64Array,
  yNodes: Float64Array,
): NormalEquations {
  const columns = xNodes.length;
  const n = columns * yNodes.length;
  const equations = emptyNormalEquations(emptySkyline(bandedProfile(n, 2 * columns)));
  const right = columns > 1 ? 1 : 0;
  const below = yNodes.length > 1 ? columns : 0;
  const unknowns = new Int32Array(4);
  const coefficients = new Float64Array(4);
  for (let i = 0; i < samples.z.length; i++) {
    const [x, y, z, weight] = [samples.x[i]!, samples.y[i]!, samples.z[i]!, samples.weight?.[i] ?? 1];
    if (Number.isNaN(x + y + z) || !(weight > 0)) continue;
    const alongX = linearWeights(xNodes, x);
    const alongY = linearWeights(yNodes, y);
    const corner = alongY.first * columns + alongX.first;
    let length = 0;
    const push = (cell: number, share: number): void => {
      if (share === 0) return;
      unknowns[length] = cell;
      coefficients[length++] = share;
    };
    push(corner, alongX.weights[0] * alongY.weights[0]);
    push(corner + right, alongX.weights[1] * alongY.weights[0]);
    push(corner + below, alongX.weights[0] * alongY.weights[1]);
    push(corner + right + below, alongX.weights[1] * alongY.weights[1]);
    addObservation(equations, unknowns, coefficients, length, z, weight);
  }
  return equations;
}
