import { clamp, median } from "../../../base/index.ts";
import type { FaultId } from "../../result/index.ts";
import {
  addIndependentPrior,
  addObservation,
  emptyNormalEquations,
  emptySkyline,
  gaussianPosterior,
  inverseDiagonal,
  robustSd,
  samplesPerIndependent,
} from "../../statistics/index.ts";
import { lookUpCurve, type Table } from "../../tables/index.ts";
import type { CorrectionInput } from "../define.ts";
import type { AirFit } from "./air-fit.ts";
import { rowTimes, type SurfaceRows } from "./rows.ts";
import { type Spans, spansOf } from "./spans.ts";

/**
 * What warm-up and heat soak say of the share of the coolant's heat that the charge takes up. VE carries what the blend does to the warm engine, so
 * only a drift with the coolant tells of it.
 */
export interface ChargeHeating {
  /** Relative corrections of the blend at the two ends of its range of flow, and their deviations. */
  readonly slow: { readonly value: number; readonly sd: number };
  readonly fast: { readonly value: number; readonly sd: number };
  /** Independent samples that speak for each breakpoint of the blend. */
  readonly coverage: Float64Array;
  /** Largest drift of speed-density air from the coldest to the warm engine that the correction explains (ln). */
  readonly driftLn: number;
  /** Beyond its doubt, and large enough to matter. */
  readonly isClear: boolean;
  /** The warm engine that VE is told for: intake air [K] and coolant above it [K]. */
  readonly warm: { readonly intakeK: number; readonly aboveK: number };
}

/** Faults that would be read as the blend's. */
export const HEATING_HELD_BY: readonly FaultId[] = [
  "sensor.map-bias",
  "cooling.runs-cold",
  "air.unmetered-leak",
  "air.meter-low",
  "air.meter-high",
  "fuel.delivery-low",
  "fuel.injector-flow-mismatch",
  "fuel.injector-dead-time-mismatch",
  "exhaust.leak-ahead-of-sensor",
];

/** Flows of the two ends; between them the relative correction goes by the logarithm of flow [g/s]. Common practice, no published source. */
const ENDS_GPS = [5, 60] as const;
/** A maker's blend is right for its own intake to about this (share of itself). Common practice, no published source. */
const PRIOR_SD = 0.5;
/** What the fitted tables may be off as a whole where the engine is warm, and per 50 K of cold by the fuel's own warm-up (ln). */
const LEVEL_SD = 0.01;
const COLD_FUEL_SD = 0.03;
const WARM_FROM_C = 85;
/** Coolant stands this much nearer to the intake air, as a share of the charge's temperature, before a sample tells of the blend. */
const TELLING_SPREAD = 0.05;
const LEAST_TELLING = 5;
/** Cells not known better than this tell nothing of a drift (ln). */
const KNOWN_SD = 0.02;
const CLEAR_DEVIATIONS = 3;
const LEAST_DRIFT = 0.015;
const PASSES = 4;
const FIRST_SD = 0.02;
const ZERO_C_IN_K = 273.15;
/** Level, slow end, fast end, cold running of the fuel. */
const UNKNOWNS = Int32Array.of(0, 1, 2, 3);

/** @returns undefined without a blend, without VE, or where no steady running with a colder engine was recorded */
export function chargeHeating({ observations, calibration }: CorrectionInput, air: AirFit | undefined): ChargeHeating | undefined {
  const blend = calibration.byRole["air.charge-temperature-blend"];
  const ve = air?.samples.ve;
  if (blend?.x === undefined || air === undefined || ve === undefined) return undefined;
  const all = spansOf(observations, calibration.byRole["air.meter-curve"]);
  const drift = driftOf(all, air, ve.rows);
  const spread = all.ectC.map((ectC, i) => (ectC - all.iatC[i]!) / all.chargeK[i]!);
  const isWarm = (i: number): boolean => all.ectC[i]! >= WARM_FROM_C && Number.isFinite(spread[i]!);
  const warmOf = (values: Float64Array): number => median(values.filter((_, i) => isWarm(i)));
  const warmSpread = warmOf(spread);
  if (Number.isNaN(warmSpread)) return undefined;
  const columns = columnsOf(all, blend, spread, warmSpread);
  const told = fitDrift(drift, columns);
  if (told.telling < LEAST_TELLING) return undefined;
  const intakeK = warmOf(all.iatC) + ZERO_C_IN_K;
  return {
    slow: told.slow,
    fast: told.fast,
    coverage: coverageOf(blend, all, told.weight, columns.isTelling),
    driftLn: told.driftLn,
    isClear: told.driftLn >= LEAST_DRIFT && [told.slow, told.fast].some(({ value, sd }) => Math.abs(value) >= CLEAR_DEVIATIONS * sd),
    warm: { intakeK, aboveK: warmOf(all.ectC) + ZERO_C_IN_K - intakeK },
  };
}

/** Relative correction of the blend at an airflow, and its deviation. */
export function heatingAt({ slow, fast }: Pick<ChargeHeating, "slow" | "fast">, airflowGps: number): { readonly value: number; readonly sd: number } {
  const share = fastShare(airflowGps);
  return { value: (1 - share) * slow.value + share * fast.value, sd: Math.hypot((1 - share) * slow.sd, share * fast.sd) };
}

function fastShare(airflowGps: number): number {
  const [slow, fast] = ENDS_GPS;
  return clamp(Math.log(Math.max(airflowGps, slow) / slow) / Math.log(fast / slow), 0, 1);
}

interface Drift {
  /** Speed-density air over what was metered, else over what the mixture says, after VE and the meter's curve were fitted (ln); shape (n). */
  readonly ln: Float64Array;
  readonly weight: Float64Array;
  /** 1 where the mixture had to tell it. */
  readonly byFuel: Float64Array;
}

function driftOf(all: Spans, { fit, samples }: AirFit, veRows: SurfaceRows): Drift {
  const meterRows = samples.meter?.rows;
  const ln = new Float64Array(all.n).fill(Number.NaN);
  const weight = new Float64Array(all.n);
  const byFuel = new Float64Array(all.n);
  for (let i = 0; i < all.n; i++) {
    const known = rowTimes(veRows, i, fit.veSd);
    if (!(all.rpm[i]! > 400) || !(Math.abs(known) < KNOWN_SD)) continue;
    const filling = rowTimes(veRows, i, fit.veLn) - veRows.bendLn[i]!;
    const metered =
      meterRows === undefined
        ? Number.NaN
        : all.modelResidual[i]! - filling + rowTimes(meterRows, i, fit.meterLn) - meterRows.bendLn[i]! - manifold(samples, fit, i);
    const mixed = all.usesMeter[i] === 0 ? all.fuelResidual[i]! - filling : Number.NaN;
    ln[i] = Number.isFinite(metered) ? metered : mixed;
    byFuel[i] = Number.isFinite(metered) ? 0 : 1;
    weight[i] = Number.isFinite(ln[i]!) ? all.steadiness[i]! : 0;
  }
  return { ln, weight, byFuel };
}

/** What the joint fit found of the manifold's filling and of moisture, which are no drift with heat. */
function manifold(samples: AirFit["samples"], fit: AirFit["fit"], i: number): number {
  return samples.nuisances
    .filter(({ id }) => id === "manifold-volume" || id === "meter-over-mixture")
    .reduce((sum, { id, onModel }) => sum + (onModel?.[i] ?? 0) * (fit.nuisance[id]?.value ?? 0), 0);
}

interface Columns {
  readonly slow: Float64Array;
  readonly fast: Float64Array;
  readonly cold: Float64Array;
  readonly isTelling: (i: number) => boolean;
}

/** Air goes with 1/T and T = intake + share · (coolant − intake): what one unit of either end adds, told against the warm engine. @source formula-sheet; PH-13 */
function columnsOf(all: Spans, blend: Table, spread: Float64Array, warmSpread: number): Columns {
  const column = (share: (flow: number) => number): Float64Array =>
    all.speedDensityGps.map((flow, i) => {
      const value = -share(flow) * lookUpCurve(blend, flow) * (spread[i]! - warmSpread);
      return Number.isFinite(value) ? value : 0;
    });
  return {
    slow: column((flow) => 1 - fastShare(flow)),
    fast: column(fastShare),
    cold: all.ectC.map((ectC) => (Number.isNaN(ectC) ? 0 : Math.min(0, ectC - WARM_FROM_C) / 50)),
    isTelling: (i) => warmSpread - spread[i]! >= TELLING_SPREAD,
  };
}

function fitDrift(drift: Drift, columns: Columns) {
  const weight = Float64Array.from(drift.weight);
  const prior = emptySkyline(new Int32Array(UNKNOWNS.length));
  const logDet = addIndependentPrior(prior, [LEVEL_SD, PRIOR_SD, PRIOR_SD, COLD_FUEL_SD], 0);
  let sd = FIRST_SD;
  let perIndependent = 1;
  let mean = new Float64Array(UNKNOWNS.length);
  let deviations = new Float64Array(UNKNOWNS.length);
  for (let pass = 0; pass < PASSES; pass++) {
    const equations = emptyNormalEquations(emptySkyline(new Int32Array(UNKNOWNS.length)));
    const row = (i: number): Float64Array => Float64Array.of(1, columns.slow[i]!, columns.fast[i]!, drift.byFuel[i]! * columns.cold[i]!);
    for (let i = 0; i < weight.length; i++)
      if (weight[i]! > 0) addObservation(equations, UNKNOWNS, row(i), UNKNOWNS.length, drift.ln[i]!, weight[i]! / (sd * sd * perIndependent));
    const posterior = gaussianPosterior(equations, { matrix: prior, logDet });
    if (posterior === undefined) throw new RangeError("the prior of the charge's heating is not positive definite");
    mean = Float64Array.from(posterior.mean);
    deviations = inverseDiagonal(posterior.factor).map(Math.sqrt);
    const left = drift.ln.map((ln, i) => (drift.weight[i]! > 0.3 ? ln - row(i).reduce((sum, value, k) => sum + value * mean[k]!, 0) : Number.NaN));
    sd = Math.max(0.003, robustSd(left, 0) || FIRST_SD);
    perIndependent = samplesPerIndependent(
      left.map((v) => (Math.abs(v) < 4 * sd ? v : Number.NaN)),
      60,
    );
    for (let i = 0; i < weight.length; i++) {
      const z = (drift.ln[i]! - row(i).reduce((sum, value, k) => sum + value * mean[k]!, 0)) / sd;
      weight[i] = drift.weight[i]! > 0 ? drift.weight[i]! / (1 + (z * z) / 6) : 0;
    }
  }
  let telling = 0;
  let driftLn = 0;
  for (let i = 0; i < weight.length; i++) {
    if (!(weight[i]! > 0) || !columns.isTelling(i)) continue;
    telling += weight[i]! / perIndependent;
    driftLn = Math.max(driftLn, Math.abs(columns.slow[i]! * mean[1]! + columns.fast[i]! * mean[2]!));
  }
  return {
    slow: { value: mean[1]!, sd: deviations[1]! },
    fast: { value: mean[2]!, sd: deviations[2]! },
    weight: weight.map((w) => w / perIndependent),
    telling,
    driftLn,
  };
}

/** Telling samples by the breakpoint nearest to their flow. */
function coverageOf(blend: Table, all: Spans, weight: Float64Array, isTelling: Columns["isTelling"]): Float64Array {
  const coverage = new Float64Array(blend.cells.length);
  const flows = blend.x!.values;
  for (let i = 0; i < all.n; i++) {
    if (!(weight[i]! > 0) || !isTelling(i)) continue;
    let nearest = 0;
    for (let k = 1; k < flows.length; k++) if (Math.abs(flows[k]! - all.speedDensityGps[i]!) < Math.abs(flows[nearest]! - all.speedDensityGps[i]!)) nearest = k;
    coverage[nearest] = coverage[nearest]! + weight[i]!;
  }
  return coverage;
}
