import {
  addObservation,
  emptyNormalEquations,
  emptySkyline,
  type GaussianPosterior,
  gaussianPosterior,
  inverseDiagonal,
  type NormalEquations,
  robustSd,
  type Skyline,
  samplesPerIndependent,
} from "../../statistics/index.ts";
import type { Table } from "../../tables/index.ts";
import { type AirTables, type FieldStrengths, type Layout, layoutOf, type PriorSpread, priorOf } from "./air-prior.ts";
import type { SurfaceRows } from "./rows.ts";
import { strengthSearch } from "./strengths.ts";

/**
 * What one drive says of the air tables, one entry a sample (shape n, NaN where not known).
 *
 *   fuelLn  = v or m (by `usesMeter`) + nuisances + noise        real air over real fuel against the controller's idea
 *   modelLn = v − m + nuisances + noise                          metered against speed-density air
 */
export interface AirSamples {
  readonly n: number;
  readonly ve: { readonly table: Table; readonly rows: SurfaceRows } | undefined;
  readonly meter: { readonly table: Table; readonly rows: SurfaceRows } | undefined;
  readonly fuelLn: Float64Array;
  readonly modelLn: Float64Array;
  readonly usesMeter: Float64Array;
  /** 0–1: steadiness and how near the sample is to what the tables are meant for. */
  readonly weight: Float64Array;
  readonly nuisances: readonly Nuisance[];
  /** First sample of each recording: noise is not carried from one to the next. */
  readonly starts: readonly number[];
}

/** A known shape with an unknown size that is no table's business: warm-up, sensor scale, injector. */
export interface Nuisance {
  readonly id: string;
  /** Shape (n): what one unit adds to the fuel residual; undefined: nothing. */
  readonly onFuel?: Float64Array;
  readonly onModel?: Float64Array;
  /** Prior of the size. */
  readonly mean: number;
  readonly sd: number;
}

/** Any part of the prior's spread that is not the ordinary one: small where the tables are trusted and something else is suspected. */
export interface JointFitOptions extends Partial<PriorSpread> {
  /** Given: not searched for. */
  readonly strengths?: FieldStrengths;
  /** Given: not estimated. */
  readonly noise?: JointFit["noise"];
  readonly searchEvaluations?: number;
}

/** Tables that may be anything: another camshaft, another air box. */
const OPEN: PriorSpread = { veTrendSd: 0.1, meterTrendSd: 0.08, veSdLimit: 1, meterSdLimit: 1 };

/** A VE table that a careful hand or a maker left. Common practice, no published source. */
const SOUND_VE = { veTrendSd: 0.012, veSdLimit: 0.012 } as const;
/** By how much the evidence must be greater before a table is taken for sound (ln): odds of twenty to one. */
const CLEARLY_SOUND = 3;

export interface JointFit {
  readonly veLn: Float64Array;
  readonly veSd: Float64Array;
  readonly meterLn: Float64Array;
  readonly meterSd: Float64Array;
  /** Independent samples that touch each cell. */
  readonly veCoverage: Float64Array;
  readonly meterCoverage: Float64Array;
  readonly nuisance: Readonly<Record<string, { readonly value: number; readonly sd: number }>>;
  readonly strengths: FieldStrengths;
  readonly noise: { readonly fuelSd: number; readonly modelSd: number; readonly fuelPerIndependent: number; readonly modelPerIndependent: number };
  readonly logEvidence: number;
}

/** The first look must follow the data wherever they go: a stiff start would read the error of the tables as noise. */
const LOOSE: FieldStrengths = { veSd: 0.3, veRangeX: 0.35, veRangeY: 0.5, meterSd: 0.15, meterRange: 0.4 };
const ROBUST_PASSES = 4;
/** Passes before noise is counted and strengths are searched for. */
const SETTLING_PASSES = 2;
/** For these passes so many samples, spread over all, are enough. */
const ENOUGH_TO_SETTLE = 12_000;
/** Evaluations of the search for strengths: in earnest once, then only touched up. */
const FIRST_SEARCH = 45;
const LATER_SEARCH = 12;
/** Beyond this many samples a correlation is the table's shape, not noise. */
const MOST_PER_INDEPENDENT = 10;
/** What no amount of samples averages out: sensors, humidity, the shape between breakpoints (ln). Common practice, no published source. */
const FLOOR_SD = 0.004;

/** Joint fit of both air tables from one drive: robust, its strengths chosen by maximum evidence. */
export function fitAirTables(samples: AirSamples, options: JointFitOptions = {}): JointFit {
  const spread = { ...OPEN, ...options };
  const tables: AirTables = {
    ve: samples.ve?.table,
    meter: samples.meter?.table,
    spread,
    nuisanceSds: samples.nuisances.map((nuisance) => nuisance.sd),
  };
  const layout = layoutOf(tables);
  const prior = priorOf(tables, layout);
  const search = strengthSearch(tables, layout);
  let strengths = options.strengths ?? LOOSE;
  let noise: Noise = options.noise ?? { fuelSd: 0.02, modelSd: 0.02, fuelPerIndependent: 2, modelPerIndependent: 2 };
  const robustFuel = new Float64Array(samples.n).fill(1);
  const robustModel = new Float64Array(samples.n).fill(1);
  const stride = Math.ceil(samples.n / ENOUGH_TO_SETTLE);
  let equations = assemble(samples, layout, noise, { robustFuel, robustModel, stride });
  let posterior = solve(equations, prior(strengths));
  for (let pass = 0; pass < ROBUST_PASSES; pass++) {
    const residuals = residualsOf(samples, layout, posterior.mean);
    noise = options.noise ?? noiseOf(samples, residuals, pass < SETTLING_PASSES ? noise : undefined);
    reweigh(robustFuel, residuals.fuel, samples.weight, noise.fuelSd);
    reweigh(robustModel, residuals.model, samples.weight, noise.modelSd);
    equations = assemble(samples, layout, noise, { robustFuel, robustModel, stride: pass < SETTLING_PASSES ? stride : 1 });
    if (options.strengths === undefined && pass >= SETTLING_PASSES)
      strengths =
        pass === SETTLING_PASSES
          ? search(equations, undefined, options.searchEvaluations ?? FIRST_SEARCH)
          : search(equations, strengths, options.searchEvaluations ?? LATER_SEARCH);
    posterior = solve(equations, prior(strengths));
  }
  // A VE table that the drive clearly finds as it should be is held to what sound ones scatter: what was not driven stays where it is.
  const narrow = { ...spread, veTrendSd: Math.min(spread.veTrendSd, SOUND_VE.veTrendSd), veSdLimit: Math.min(spread.veSdLimit, SOUND_VE.veSdLimit) };
  const sound = solve(equations, priorOf({ ...tables, spread: narrow }, layout)(strengths));
  if (sound.logEvidence > posterior.logEvidence + CLEARLY_SOUND) posterior = sound;
  return report(samples, layout, posterior, noise, strengths, { robustFuel, robustModel });
}

interface Noise {
  readonly fuelSd: number;
  readonly modelSd: number;
  readonly fuelPerIndependent: number;
  readonly modelPerIndependent: number;
}

function assemble(
  samples: AirSamples,
  layout: Layout,
  noise: Noise,
  { robustFuel, robustModel, stride }: { robustFuel: Float64Array; robustModel: Float64Array; stride: number },
): NormalEquations {
  const equations = emptyNormalEquations(emptySkyline(layout.first));
  const unknowns = new Int32Array(64);
  const coefficients = new Float64Array(64);
  const fuelPrecision = 1 / (noise.fuelSd ** 2 * noise.fuelPerIndependent);
  const modelPrecision = 1 / (noise.modelSd ** 2 * noise.modelPerIndependent);
  for (let i = 0; i < samples.n; i += stride) {
    const weight = samples.weight[i]!;
    if (!(weight > 0)) continue;
    const fuel = fuelRow(samples, layout, i, unknowns, coefficients);
    if (fuel !== undefined && robustFuel[i]! > 0.01)
      addObservation(equations, unknowns, coefficients, fuel.length, fuel.observed, weight * robustFuel[i]! * fuelPrecision);
    const model = modelRow(samples, layout, i, unknowns, coefficients);
    if (model !== undefined && robustModel[i]! > 0.01)
      addObservation(
        equations,
        unknowns,
        coefficients,
        model.length,
        model.observed,
        weight * robustModel[i]! * modelPrecision * shareOfModel(samples, i, fuel),
      );
  }
  return equations;
}

/**
 * Where the fuel tells VE itself, the meter beside it mostly tells the meter's curve: it lags a hunting idle and sees the manifold fill, and
 * that error goes with engine speed as VE does.
 */
const MODEL_BESIDE_FUEL = 0.15;

function shareOfModel(samples: AirSamples, i: number, fuel: Row | undefined): number {
  return fuel !== undefined && samples.usesMeter[i] === 0 ? MODEL_BESIDE_FUEL : 1;
}

interface Row {
  readonly length: number;
  readonly observed: number;
}

/** Fills one fuel observation; undefined where the sample has none. Nuisances enter by their departure from the prior mean. */
function fuelRow(samples: AirSamples, layout: Layout, i: number, unknowns: Int32Array, coefficients: Float64Array): Row | undefined {
  const side = samples.usesMeter[i] === 1 ? samples.meter : samples.usesMeter[i] === 0 ? samples.ve : undefined;
  if (side === undefined) return undefined;
  let observed = samples.fuelLn[i]! + side.rows.bendLn[i]!;
  let length = pushRow(side.rows, i, side === samples.ve ? layout.ve : layout.meter, 1, unknowns, coefficients, 0);
  for (let k = 0; k < samples.nuisances.length; k++) {
    const { onFuel, mean } = samples.nuisances[k]!;
    if (onFuel === undefined) continue;
    observed -= onFuel[i]! * mean;
    unknowns[length] = layout.nuisances + k;
    coefficients[length++] = onFuel[i]!;
  }
  return Number.isFinite(observed) ? { length, observed } : undefined;
}

function modelRow(samples: AirSamples, layout: Layout, i: number, unknowns: Int32Array, coefficients: Float64Array): Row | undefined {
  const { ve, meter } = samples;
  if (ve === undefined || meter === undefined) return undefined;
  let observed = samples.modelLn[i]! + ve.rows.bendLn[i]! - meter.rows.bendLn[i]!;
  let length = pushRow(ve.rows, i, layout.ve, 1, unknowns, coefficients, 0);
  length = pushRow(meter.rows, i, layout.meter, -1, unknowns, coefficients, length);
  for (let k = 0; k < samples.nuisances.length; k++) {
    const { onModel, mean } = samples.nuisances[k]!;
    if (onModel === undefined) continue;
    observed -= onModel[i]! * mean;
    unknowns[length] = layout.nuisances + k;
    coefficients[length++] = onModel[i]!;
  }
  return Number.isFinite(observed) ? { length, observed } : undefined;
}

function pushRow(rows: SurfaceRows, i: number, offset: number, sign: number, unknowns: Int32Array, coefficients: Float64Array, from: number): number {
  let length = from;
  for (let at = i * rows.width; at < (i + 1) * rows.width; at++) {
    const coefficient = rows.coefficients[at]!;
    if (coefficient === 0) continue;
    unknowns[length] = offset + rows.unknowns[at]!;
    coefficients[length++] = sign * coefficient;
  }
  return length;
}

function solve(equations: NormalEquations, prior: { matrix: Skyline; logDet: number }): GaussianPosterior {
  const posterior = gaussianPosterior(equations, prior);
  if (posterior === undefined) throw new RangeError("the prior of the air tables is not positive definite");
  return posterior;
}

/** What the fit leaves, shape (n); NaN where nothing was observed. */
function residualsOf(samples: AirSamples, layout: Layout, mean: Float64Array): { fuel: Float64Array; model: Float64Array } {
  const fuel = new Float64Array(samples.n).fill(Number.NaN);
  const model = new Float64Array(samples.n).fill(Number.NaN);
  const unknowns = new Int32Array(64);
  const coefficients = new Float64Array(64);
  const left = (row: Row): number => {
    let sum = row.observed;
    for (let k = 0; k < row.length; k++) sum -= coefficients[k]! * mean[unknowns[k]!]!;
    return sum;
  };
  for (let i = 0; i < samples.n; i++) {
    if (!(samples.weight[i]! > 0)) continue;
    const fuelSeen = fuelRow(samples, layout, i, unknowns, coefficients);
    if (fuelSeen !== undefined) fuel[i] = left(fuelSeen);
    const modelSeen = modelRow(samples, layout, i, unknowns, coefficients);
    if (modelSeen !== undefined) model[i] = left(modelSeen);
  }
  return { fuel, model };
}

function noiseOf(samples: AirSamples, residuals: { fuel: Float64Array; model: Float64Array }, counted?: Noise): Noise {
  const steady = (values: Float64Array): Float64Array => values.map((v, i) => (samples.weight[i]! > 0.3 ? v : Number.NaN));
  const fuel = steady(residuals.fuel);
  const model = steady(residuals.model);
  const sdOf = (values: Float64Array, fallback: number): number => {
    const sd = robustSd(values, 0);
    return Number.isNaN(sd) ? fallback : Math.max(sd, 0.003);
  };
  const fuelSd = sdOf(fuel, 0.03);
  const modelSd = sdOf(model, 0.04);
  return {
    fuelSd,
    modelSd,
    fuelPerIndependent: counted?.fuelPerIndependent ?? perIndependent(fuel, fuelSd),
    modelPerIndependent: counted?.modelPerIndependent ?? perIndependent(model, modelSd),
  };
}

/** Samples worth one independent sample; wild values are cut so that one outlier does not hide the correlation of the rest. */
function perIndependent(values: Float64Array, sd: number): number {
  const cut = values.map((v) => (Math.abs(v) < 4 * sd ? v : Number.NaN));
  return Math.min(MOST_PER_INDEPENDENT, samplesPerIndependent(cut, 4 * MOST_PER_INDEPENDENT));
}

function reweigh(into: Float64Array, residual: Float64Array, weight: Float64Array, sd: number): void {
  for (let i = 0; i < into.length; i++) into[i] = weight[i]! > 0 && !Number.isNaN(residual[i]!) ? heavyTailWeight(residual[i]! / sd) : 1;
}

/** Weight of a sample by Student's law. */
function heavyTailWeight(z: number): number {
  return 1 / (1 + (z * z) / 6);
}

function report(
  samples: AirSamples,
  layout: Layout,
  posterior: GaussianPosterior,
  noise: Noise,
  strengths: FieldStrengths,
  robust: { robustFuel: Float64Array; robustModel: Float64Array },
): JointFit {
  const variance = inverseDiagonal(posterior.factor);
  const part = (values: Float64Array, from: number, to: number): Float64Array => values.slice(from, to);
  const sd = (from: number, to: number): Float64Array => part(variance, from, to).map((v) => Math.sqrt(v + FLOOR_SD * FLOOR_SD));
  const nuisance: Record<string, { value: number; sd: number }> = {};
  samples.nuisances.forEach((shape, k) => {
    const at = layout.nuisances + k;
    nuisance[shape.id] = { value: shape.mean + posterior.mean[at]!, sd: Math.sqrt(variance[at]!) };
  });
  const { veCoverage, meterCoverage } = coverageOf(samples, noise, robust);
  return {
    veLn: part(posterior.mean, layout.ve, layout.meter),
    veSd: sd(layout.ve, layout.meter),
    meterLn: part(posterior.mean, layout.meter, layout.veTrend),
    meterSd: sd(layout.meter, layout.veTrend),
    veCoverage,
    meterCoverage,
    nuisance,
    strengths,
    noise,
    logEvidence: posterior.logEvidence,
  };
}

/** Independent samples that touch each cell: weights of the rows, cut to the share that is not repetition. */
function coverageOf(
  samples: AirSamples,
  noise: Noise,
  robust: { robustFuel: Float64Array; robustModel: Float64Array },
): { veCoverage: Float64Array; meterCoverage: Float64Array } {
  const veCoverage = new Float64Array(samples.ve?.table.cells.length ?? 0);
  const meterCoverage = new Float64Array(samples.meter?.table.cells.length ?? 0);
  const add = (rows: SurfaceRows, i: number, into: Float64Array, share: number): void => {
    for (let at = i * rows.width; at < (i + 1) * rows.width; at++) {
      const coefficient = rows.coefficients[at]!;
      if (coefficient > 0) into[rows.unknowns[at]!] = into[rows.unknowns[at]!]! + share * coefficient;
    }
  };
  for (let i = 0; i < samples.n; i++) {
    const weight = samples.weight[i]!;
    if (!(weight > 0)) continue;
    const fuelShare = Number.isNaN(samples.fuelLn[i]!) ? 0 : (weight * robust.robustFuel[i]!) / noise.fuelPerIndependent;
    const modelShare = Number.isNaN(samples.modelLn[i]!) ? 0 : (weight * robust.robustModel[i]!) / noise.modelPerIndependent;
    if (samples.ve !== undefined) add(samples.ve.rows, i, veCoverage, Math.max(samples.usesMeter[i] === 0 ? fuelShare : 0, modelShare));
    if (samples.meter !== undefined) add(samples.meter.rows, i, meterCoverage, Math.max(samples.usesMeter[i] === 1 ? fuelShare : 0, modelShare));
  }
  return { veCoverage, meterCoverage };
}
