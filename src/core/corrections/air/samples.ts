import { median } from "../../../base/index.ts";
import type { Observations } from "../../residuals/index.ts";
import type { Intake } from "../../result/index.ts";
import { type Calibration, lookUp, lookUpCurve } from "../../tables/index.ts";
import type { AirSamples, Nuisance } from "./joint-fit.ts";
import { curveRows, gridRows } from "./rows.ts";

/** The tables are meant for a warm engine; the truth of a cell is that at this coolant temperature [°C]. */
export const WARM_ECT_C = 91;
/** Below this the warm-up's own errors outweigh what a sample tells of the warm engine [°C]. */
const COLD_ECT_C = 50;
/** Mixtures far from the range in which a wide-range sensor is linear tell little. */
const LAMBDA_RANGE = [0.7, 1.35] as const;

/** How far the fuel side may be suspected, as prior deviations: ln of the flow, ms of dead time. */
export interface FuelSidePrior {
  readonly flowSdLn: number;
  readonly deadTimeSdMs: number;
}

/** Sound injectors: tables are copied from a data sheet, parts scatter by a percent or two. Common practice, no published source. */
export const SOUND_INJECTORS: FuelSidePrior = { flowSdLn: 0.004, deadTimeSdMs: 0.01 };

/** Gathers what all recordings say of the air tables into one set of samples. */
export function airSamples(
  observations: readonly Observations[],
  calibration: Calibration,
  intake: Intake,
  options: { readonly fuelSide?: FuelSidePrior } = {},
): AirSamples {
  const all = concatenate(observations.map(averaged));
  const veTable = calibration.byRole["air.ve"];
  const meterTable = calibration.byRole["air.meter-curve"];
  const meterFitted = intake.sensors?.airMeterFitted !== false && all.mafHz.some((hz) => hz > 0);
  const ve = veTable?.x !== undefined && veTable.y !== undefined ? { table: veTable, rows: gridRows(veTable, all.rpm, all.mapKpa) } : undefined;
  const meter = meterTable?.x !== undefined && meterFitted ? { table: meterTable, rows: curveRows(meterTable, all.mafHz) } : undefined;
  return {
    n: all.n,
    ve,
    meter,
    fuelLn: all.fuelResidual,
    modelLn: all.modelResidual,
    usesMeter: all.usesMeter,
    weight: sampleWeights(all),
    nuisances: nuisancesOf(all, calibration, intake, options.fuelSide ?? SOUND_INJECTORS),
    starts: all.starts,
  };
}

/** Length of the spans that are averaged into one sample [s]: longer than a sensor's noise, shorter than a driver's foot. */
const SPAN_S = 1;
/** A span counts when at least this share of its samples does. */
const LEAST_SHARE = 0.3;

const AVERAGED = [
  "rpm",
  "mapKpa",
  "baroKpa",
  "mafHz",
  "ectC",
  "iatC",
  "injMs",
  "batteryV",
  "lambda",
  "lambdaTarget",
  "closedLoop",
  "meterGps",
  "speedDensityGps",
  "chargeK",
  "fuelResidual",
  "modelResidual",
] as const;
type AveragedName = (typeof AVERAGED)[number];

interface Joined extends Readonly<Record<AveragedName, Float64Array>> {
  readonly n: number;
  readonly starts: readonly number[];
  readonly usesMeter: Float64Array;
  readonly steadiness: Float64Array;
}

/**
 * Means over spans of about a second, each sample counted by its steadiness. A span in which the controller changed its air
 * model is left out.
 *
 * Averaging comes before the fit for a reason: the meter's noise stands in its reading and in its frequency at once, so that
 * sample by sample a quiet idle would draw the noise itself into the meter's curve.
 */
function averaged(o: Observations): Omit<Joined, "starts"> {
  const step = Math.max(1, Math.round(SPAN_S / o.dtS));
  const n = Math.floor(o.n / step);
  const columns = Object.fromEntries(AVERAGED.map((name) => [name, new Float64Array(n).fill(Number.NaN)])) as Record<AveragedName, Float64Array>;
  const usesMeter = new Float64Array(n);
  const steadiness = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    const from = k * step;
    let weight = 0;
    let mixed = false;
    for (let i = from; i < from + step; i++) {
      weight += o.steadiness[i]!;
      mixed ||= o.usesMeter[i] !== o.usesMeter[from];
    }
    usesMeter[k] = mixed ? Number.NaN : o.usesMeter[from]!;
    steadiness[k] = weight / step < LEAST_SHARE ? 0 : weight / step;
    if (steadiness[k] === 0) continue;
    for (const name of AVERAGED) columns[name][k] = weightedMean(o[name], o.steadiness, from, from + step);
  }
  return { ...columns, n, usesMeter, steadiness };
}

/** Mean over [from, to), NaN left out; NaN where less than half of the weight has a value. */
function weightedMean(values: Float64Array, weights: Float64Array, from: number, to: number): number {
  let sum = 0;
  let known = 0;
  let all = 0;
  for (let i = from; i < to; i++) {
    const weight = weights[i]!;
    all += weight;
    if (Number.isNaN(values[i]!)) continue;
    sum += weight * values[i]!;
    known += weight;
  }
  return known >= 0.5 * all && known > 0 ? sum / known : Number.NaN;
}

function concatenate(parts: readonly Omit<Joined, "starts">[]): Joined {
  const starts: number[] = [];
  let n = 0;
  for (const part of parts) {
    starts.push(n);
    n += part.n;
  }
  const join = (name: AveragedName | "usesMeter" | "steadiness"): Float64Array => {
    const whole = new Float64Array(n);
    parts.forEach((part, k) => {
      whole.set(part[name], starts[k]!);
    });
    return whole;
  };
  const columns = Object.fromEntries(AVERAGED.map((name) => [name, join(name)])) as Record<AveragedName, Float64Array>;
  return { ...columns, n, starts, usesMeter: join("usesMeter"), steadiness: join("steadiness") };
}

function sampleWeights(all: Joined): Float64Array {
  return all.steadiness.map((steady, i) => {
    if (!(all.rpm[i]! > 400) || !(steady > 0.02)) return 0;
    const ect = all.ectC[i]!;
    const warm = Number.isNaN(ect) ? 1 : Math.min(1, Math.max(0, (ect - COLD_ECT_C) / (WARM_ECT_C - 11 - COLD_ECT_C)));
    const lambda = all.lambda[i]!;
    const inRange = Number.isNaN(lambda) || (lambda > LAMBDA_RANGE[0] && lambda < LAMBDA_RANGE[1]) ? 1 : 0.1;
    return steady * warm * warm * inRange;
  });
}

/** What bends the residuals without being the business of an air table. */
function nuisancesOf(all: Joined, calibration: Calibration, intake: Intake, fuelSide: FuelSidePrior): Nuisance[] {
  const coldness = all.ectC.map((ect) => (Number.isNaN(ect) ? 0 : Math.min(0, ect - WARM_ECT_C) / 50));
  const blend = calibration.byRole["air.charge-temperature-blend"];
  const share = all.speedDensityGps.map((flow) => (blend === undefined || Number.isNaN(flow) ? 0.2 : lookUpCurve(blend, flow)));
  const onSpeedDensity = (values: Float64Array): Float64Array => values.map((v, i) => (all.usesMeter[i] === 0 ? v : 0));
  const coldBlend = coldness.map((cold, i) => cold * share[i]! * 3);
  const nuisances: Nuisance[] = [
    { id: "cold", onFuel: coldness, mean: 0, sd: 0.02 },
    { id: "cold-blend", onFuel: onSpeedDensity(coldBlend), onModel: coldBlend, mean: 0, sd: 0.02 },
    // Moist air, the meter's own tolerance: the two air models need not agree to the last percent even when both tables are true.
    { id: "wideband-scale", ...widebandScale(all, intake) },
  ];
  const openMs = openTime(all, calibration);
  nuisances.push({ id: "injector-flow", onFuel: all.rpm.map(() => -1), mean: 0, sd: fuelSide.flowSdLn });
  if (openMs !== undefined) nuisances.push({ id: "dead-time", onFuel: openMs.map((open) => 1 / open), mean: 0, sd: fuelSide.deadTimeSdMs });
  return nuisances;
}

/** A wide-range sensor is good for about this, and so is a narrow-range loop (ln). Common practice, no published source. */
const SENSOR_SD = 0.004;
const LOOP_TOLERANCE_LN = 0.015;

/**
 * Scale error of the wide-range sensor. In closed loop the narrow sensors hold the mixture near its stoichiometric point; a
 * wide-range reading that lies further off than loops do is taken to be the sensor's error, by what exceeds the loop's own tolerance.
 */
function widebandScale(all: Joined, intake: Intake): { onFuel: Float64Array; mean: number; sd: number } {
  const measured = all.lambda.map((lambda) => (Number.isNaN(lambda) ? 0 : 1));
  const readings: number[] = [];
  for (let i = 0; i < all.n; i++)
    if (all.closedLoop[i] === 1 && all.steadiness[i]! > 0.5 && Math.abs(all.lambdaTarget[i]! - 1) < 0.01 && all.lambda[i]! > 0)
      readings.push(Math.log(all.lambda[i]! / all.lambdaTarget[i]!));
  const offset = intake.sensors?.widebandFitted === false || readings.length < 60 ? 0 : median(readings);
  const excess = Math.sign(offset) * Math.max(0, Math.abs(offset) - LOOP_TOLERANCE_LN);
  return { onFuel: measured, mean: excess, sd: SENSOR_SD };
}

/** Time that the injector really passes fuel by the tables [ms]; undefined without pulse width or dead-time table. */
function openTime(all: Joined, calibration: Calibration): Float64Array | undefined {
  const deadTime = calibration.byRole["fuel.injector-dead-time"];
  if (deadTime === undefined || !all.injMs.some((ms) => ms > 0)) return undefined;
  return all.injMs.map((ms, i) => {
    const battery = Number.isNaN(all.batteryV[i]!) ? 14 : all.batteryV[i]!;
    return Math.max(0.3, ms - lookUp(deadTime, battery, all.baroKpa[i]! - all.mapKpa[i]!));
  });
}
