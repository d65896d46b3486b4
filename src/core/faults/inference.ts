import type { FaultId } from "../result/index.ts";
import { factorDense, type Square } from "../statistics/index.ts";
import type { Fault, Manner } from "./define.ts";
import { residualUnder } from "./deviation.ts";
import type { EarlierPoint, Facts } from "./facts.ts";
import { expectedDeviation, honestCovariance, honestErrors, SETTINGS, type Setting, standingOddities } from "./honest-errors.ts";
import type { ResidualPoint } from "./points.ts";

/**
 * Factors on all variances at once: what neither noise nor honest errors foresee. Only inflation, so that a vehicle which fits
 * well does not make the comparison overconfident.
 */
const INFLATIONS = [
  { factor: 1, weight: 0.45 },
  { factor: 1.6, weight: 0.27 },
  { factor: 2.6, weight: 0.16 },
  { factor: 4.5, weight: 0.08 },
  { factor: 9, weight: 0.04 },
] as const;

const SIZE_STEPS = 12;
const PAIR_STRIDE = 2;

/** A size of a fault in one manner, with its prior weight. */
interface Cell {
  readonly manner: Manner;
  readonly size: number;
  readonly weight: number;
}

/** How well one story explains the residuals, after averaging over its sizes, manners and the settings. */
export interface StoryFit {
  /** ln of the marginal likelihood relative to `healthy`. */
  readonly logEvidence: number;
  /** Posterior over sizes and manners, weights sum to 1. */
  readonly posterior: readonly { readonly manner: string; readonly size: number; readonly weight: number }[];
  readonly size: { readonly value: number; readonly low: number; readonly high: number };
  readonly manner: string;
}

export interface Comparison {
  readonly stories: ReadonlyMap<FaultId, StoryFit>;
  /** ln marginal likelihood relative to `healthy`, by `pairKey`. */
  readonly pairs: ReadonlyMap<string, number>;
  /** Total standard deviation of each point under honest errors and noise (usual setting), shape (points). */
  readonly totalSd: Float64Array;
  /** Residuals less what a sound vehicle with these tables, fuel and camshaft would show (usual setting), shape (points). */
  readonly values: Float64Array;
}

/** Residuals less what a sound vehicle with these tables, fuel, weather and camshaft would show, shape (points). */
export function beyondExpected(points: readonly ResidualPoint[], facts: Facts): Float64Array {
  return Float64Array.from(points, (p) => p.value - residualUnder(p.channel, p.at, expectedDeviation(p.at, facts)));
}

export function pairKey(a: FaultId, b: FaultId): string {
  return a < b ? `${a} + ${b}` : `${b} + ${a}`;
}

/** Residuals that a story predicts at one size in one manner, shape (points); 0 where what it needs of the operating point is not known. */
export function predicted(points: readonly ResidualPoint[], manner: Manner, size: number, facts: Facts): Float64Array {
  return Float64Array.from(points, (p) => {
    const value = residualUnder(p.channel, p.at, manner.deviate(size, p.at, facts));
    return Number.isFinite(value) ? value : 0;
  });
}

/**
 * Marginal likelihoods of all stories, and of all pairs of stories, on the residual points. With points of an earlier visit, everything is
 * conditional on them: a story has to explain what moved since, no more and no less.
 */
export function compareStories(points: readonly ResidualPoint[], faults: readonly Fault[], facts: Facts): Comparison {
  const earlier = facts.input.earlier ?? [];
  const told = faults.filter((fault) => fault.story !== undefined && fault.applies?.(facts) !== false);
  const all = Float64Array.of(...earlier.map((p) => p.value), ...beyondExpected(points, facts));
  const cells = new Map(told.map((fault) => [fault.id, cellsOf(fault, facts)]));
  const effects = new Map(told.map((fault) => [fault.id, cells.get(fault.id)!.map((cell) => predicted(points, cell.manner, cell.size, facts))]));
  const byCell = new Map(told.map((fault) => [fault.id, new Float64Array(cells.get(fault.id)!.length).fill(Number.NEGATIVE_INFINITY)]));
  const byPair = new Map<string, number>();
  let healthy = Number.NEGATIVE_INFINITY;
  let totalSd: Float64Array = new Float64Array(points.length);
  let values: Float64Array = all.slice(earlier.length);
  for (const setting of SETTINGS) {
    const joint = factorOf(points, facts, setting, earlier);
    if (joint === undefined) continue;
    const factor = lastBlock(joint, earlier.length);
    const whole = whiten(joint, all);
    const seen = whole.slice(earlier.length);
    if (setting === SETTINGS[0]) {
      totalSd = rowNorms(factor);
      values = product(factor, seen);
    }
    const base = Math.log(setting.weight) - logHalfDeterminant(joint) + earlierLikelihood(whole.subarray(0, earlier.length));
    const seenSquares = dot(seen, seen);
    healthy = logAdd(healthy, base + logLikelihood(seenSquares, points.length));
    const whitened = new Map(told.map((fault) => [fault.id, effects.get(fault.id)!.map((effect) => describeEffect(whiten(factor, effect), seen))]));
    for (const fault of told) {
      const sums = byCell.get(fault.id)!;
      for (const [k, w] of whitened.get(fault.id)!.entries())
        sums[k] = logAdd(sums[k]!, base + logLikelihood(seenSquares - 2 * w.alongSeen + w.squares, points.length));
    }
    for (const [i, a] of told.entries())
      for (const b of told.slice(i + 1)) {
        const key = pairKey(a.id, b.id);
        const evidence = base + pairEvidence(cells.get(a.id)!, whitened.get(a.id)!, cells.get(b.id)!, whitened.get(b.id)!, seenSquares, points.length);
        byPair.set(key, logAdd(byPair.get(key) ?? Number.NEGATIVE_INFINITY, evidence));
      }
  }
  const stories = new Map(told.map((fault) => [fault.id, storyFit(cells.get(fault.id)!, byCell.get(fault.id)!, healthy)]));
  const pairs = new Map([...byPair].map(([key, evidence]) => [key, evidence - healthy]));
  return { stories, pairs, totalSd, values };
}

/** Sizes evenly over the range that occurs, with lighter cells just below and above it, in every manner. */
function cellsOf(fault: Fault, facts: Facts): readonly Cell[] {
  const { size } = fault.story!;
  const manners = fault.story!.manners.filter((manner) => manner.applies?.(facts) !== false);
  const total = manners.reduce((sum, manner) => sum + manner.share, 0);
  const step = (size.high - size.low) / (SIZE_STEPS - 1);
  const sizes = [
    { value: size.low - 0.35 * Math.abs(size.low), weight: 0.5 },
    ...Array.from({ length: SIZE_STEPS }, (_, k) => ({ value: size.low + k * step, weight: 1 })),
    { value: size.high + 0.3 * Math.abs(size.high - size.low), weight: 0.5 },
  ].filter(({ value }) => Math.abs(value) > 1e-9);
  const sum = sizes.reduce((s, { weight }) => s + weight, 0);
  return manners.flatMap((manner) => sizes.map(({ value, weight }) => ({ manner, size: value, weight: (weight / sum) * (manner.share / total) })));
}

/** Lower factor of the covariance of all points, those of the earlier visit first. */
function factorOf(points: readonly ResidualPoint[], facts: Facts, setting: Setting, earlier: readonly EarlierPoint[]): Square | undefined {
  const all = [...earlier, ...points];
  const n = all.length;
  const errors = [...honestErrors(facts, setting), ...(earlier.length === 0 ? [] : standingOddities(facts))];
  const covariance = honestCovariance(all, errors, earlier.length);
  for (let i = 0; i < n; i++) covariance[i * n + i] = covariance[i * n + i]! + all[i]!.sd ** 2;
  return factorDense({ n, values: covariance });
}

/** Factor of the covariance of the later points given the earlier ones: the last block of the joint factor. */
function lastBlock({ n, values }: Square, from: number): Square {
  if (from === 0) return { n, values };
  const size = n - from;
  const block = new Float64Array(size * size);
  for (let i = 0; i < size; i++) for (let j = 0; j <= i; j++) block[i * size + j] = values[(i + from) * n + j + from]!;
  return { n: size, values: block };
}

/** L v: undoes `whiten`. */
function product({ n, values }: Square, vector: Float64Array): Float64Array {
  return Float64Array.from({ length: n }, (_, i) => {
    let sum = 0;
    for (let k = 0; k <= i; k++) sum += values[i * n + k]! * vector[k]!;
    return sum;
  });
}

/** Standard deviations of the points: lengths of the factor's rows. */
function rowNorms({ n, values }: Square): Float64Array {
  return Float64Array.from({ length: n }, (_, i) => {
    let sum = 0;
    for (let k = 0; k <= i; k++) sum += values[i * n + k]! ** 2;
    return Math.sqrt(sum);
  });
}

function earlierLikelihood(whitened: Float64Array): number {
  return whitened.length === 0 ? 0 : logLikelihood(dot(whitened, whitened), whitened.length);
}

/** L⁻¹ v by forward substitution. */
function whiten(factor: Square, vector: Float64Array): Float64Array {
  const { n, values } = factor;
  const x = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let sum = vector[i]!;
    for (let k = 0; k < i; k++) sum -= values[i * n + k]! * x[k]!;
    x[i] = sum / values[i * n + i]!;
  }
  return x;
}

interface Effect {
  readonly vector: Float64Array;
  readonly squares: number;
  readonly alongSeen: number;
}

function describeEffect(vector: Float64Array, seen: Float64Array): Effect {
  return { vector, squares: dot(vector, vector), alongSeen: dot(vector, seen) };
}

function pairEvidence(
  cellsA: readonly Cell[],
  effectsA: readonly Effect[],
  cellsB: readonly Cell[],
  effectsB: readonly Effect[],
  seenSquares: number,
  n: number,
): number {
  let evidence = Number.NEGATIVE_INFINITY;
  let weights = 0;
  for (let i = 0; i < cellsA.length; i += PAIR_STRIDE)
    for (let j = 0; j < cellsB.length; j += PAIR_STRIDE) {
      const a = effectsA[i]!;
      const b = effectsB[j]!;
      const squares = seenSquares - 2 * (a.alongSeen + b.alongSeen) + a.squares + b.squares + 2 * dot(a.vector, b.vector);
      const weight = cellsA[i]!.weight * cellsB[j]!.weight;
      weights += weight;
      evidence = logAdd(evidence, Math.log(weight) + logLikelihood(squares, n));
    }
  return evidence - Math.log(weights);
}

function storyFit(cells: readonly Cell[], logs: Float64Array, healthy: number): StoryFit {
  const weighted = logs.map((log, k) => log + Math.log(cells[k]!.weight));
  const evidence = weighted.reduce(logAdd, Number.NEGATIVE_INFINITY);
  const posterior = cells.map((cell, k) => ({ manner: cell.manner.id, size: cell.size, weight: Math.exp(weighted[k]! - evidence) }));
  const manners = new Map<string, number>();
  for (const cell of posterior) manners.set(cell.manner, (manners.get(cell.manner) ?? 0) + cell.weight);
  const manner = [...manners].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))[0]?.[0] ?? "";
  return { logEvidence: evidence - healthy, posterior, size: sizeInterval(posterior), manner };
}

/** Median and 90 % interval of the size, by linear interpolation of the distribution over the grid. */
function sizeInterval(posterior: StoryFit["posterior"]): StoryFit["size"] {
  const bySize = new Map<number, number>();
  for (const { size, weight } of posterior) bySize.set(size, (bySize.get(size) ?? 0) + weight);
  const sizes = [...bySize].sort((a, b) => a[0] - b[0]);
  const at = (share: number): number => {
    let below = 0;
    for (const [k, [size, weight]] of sizes.entries()) {
      if (below + weight >= share) {
        const from = k === 0 ? size : (sizes[k - 1]![0] + size) / 2;
        const to = k === sizes.length - 1 ? size : (size + sizes[k + 1]![0]) / 2;
        return from + (weight > 0 ? (share - below) / weight : 0.5) * (to - from);
      }
      below += weight;
    }
    return sizes[sizes.length - 1]?.[0] ?? Number.NaN;
  };
  return { value: at(0.5), low: at(0.05), high: at(0.95) };
}

function logLikelihood(squares: number, n: number): number {
  let sum = Number.NEGATIVE_INFINITY;
  for (const { factor, weight } of INFLATIONS) sum = logAdd(sum, Math.log(weight) - 0.5 * (n * Math.log(factor) + Math.max(0, squares) / factor));
  return sum;
}

function logHalfDeterminant(factor: Square): number {
  let sum = 0;
  for (let i = 0; i < factor.n; i++) sum += Math.log(factor.values[i * factor.n + i]!);
  return sum;
}

/** ln(eᵃ + eᵇ). */
export function logAdd(a: number, b: number): number {
  const high = Math.max(a, b);
  return high === Number.NEGATIVE_INFINITY ? high : high + Math.log1p(Math.exp(-Math.abs(a - b)));
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
