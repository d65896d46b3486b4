import { median } from "../../../base/index.ts";
import { blendAfr, CUSTOMARY_GASOLINE, dryShareFraction, humidityRatio } from "../../physics/index.ts";
import type { Observations } from "../../residuals/index.ts";
import type { Intake } from "../../result/index.ts";
import { type Calibration, lookUp, lookUpCurve } from "../../tables/index.ts";
import type { AirSamples, Nuisance } from "./joint-fit.ts";
import { curveRows, gridRows } from "./rows.ts";
import { type Spans, spansOf } from "./spans.ts";

/** The tables are meant for a warm engine; the truth of a cell is that at this coolant temperature [°C]. */
export const WARM_ECT_C = 91;
/** Below this the warm-up's own errors outweigh what a sample tells of the warm engine [°C]. */
const COLD_ECT_C = 10;
/** What a sample of a cold engine is still worth: some percents off, and all that is known of a place to which nobody returned warm. */
const COLD_WORTH = 0.04;
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
  const all = spansOf(observations, calibration.byRole["air.meter-curve"]);
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

function sampleWeights(all: Spans): Float64Array {
  return all.steadiness.map((steady, i) => {
    if (!(all.rpm[i]! > 400) || !(steady > 0.02)) return 0;
    const ect = all.ectC[i]!;
    const warm = Number.isNaN(ect) ? 1 : Math.min(1, Math.max(0, (ect - COLD_ECT_C) / (WARM_ECT_C - 11 - COLD_ECT_C)));
    const lambda = all.lambda[i]!;
    const inRange = Number.isNaN(lambda) || (lambda > LAMBDA_RANGE[0] && lambda < LAMBDA_RANGE[1]) ? 1 : 0.1;
    return steady * Math.max(COLD_WORTH, warm * warm) * inRange;
  });
}

/** Fuel held by the walls per rate of change, X·τ: port injection, warm. @source PH-08 (common practice) */
const FILM_SD_S = 0.15;

/** What bends the residuals without being the business of an air table. */
function nuisancesOf(all: Spans, calibration: Calibration, intake: Intake, fuelSide: FuelSidePrior): Nuisance[] {
  const coldness = all.ectC.map((ect) => (Number.isNaN(ect) ? 0 : Math.min(0, ect - WARM_ECT_C) / 50));
  const blend = calibration.byRole["air.charge-temperature-blend"];
  const share = all.speedDensityGps.map((flow) => (blend === undefined || Number.isNaN(flow) ? 0.2 : lookUpCurve(blend, flow)));
  const onSpeedDensity = (values: Float64Array): Float64Array => values.map((v, i) => (all.usesMeter[i] === 0 ? v : 0));
  const coldBlend = coldness.map((cold, i) => cold * share[i]! * 3);
  const nuisances: Nuisance[] = [
    { id: "cold", onFuel: coldness, mean: 0, sd: 0.02 },
    { id: "cold-blend", onFuel: onSpeedDensity(coldBlend), onModel: coldBlend, mean: 0, sd: 0.02 },
    { id: "wideband-scale", ...widebandScale(all, intake) },
    { id: "meter-over-mixture", ...meterOverMixture(all, calibration, intake) },
    // More fuel goes onto the walls while it rises and comes off them while it falls: a few tenths of a second of it.
    { id: "wall-film", onFuel: all.filmRate, mean: 0, sd: FILM_SD_S },
    // The residual allows for a manifold of about the displacement's size; what it is more or less.
    { id: "manifold-volume", onModel: all.fillingShare.map((share) => share * intake.engine.displacementL), mean: 0, sd: 0.6 },
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
function widebandScale(all: Spans, intake: Intake): { onFuel: Float64Array; mean: number; sd: number } {
  const measured = all.lambda.map((lambda) => (Number.isNaN(lambda) ? 0 : 1));
  const readings: number[] = [];
  for (let i = 0; i < all.n; i++)
    if (all.closedLoop[i] === 1 && all.steadiness[i]! > 0.5 && Math.abs(all.lambdaTarget[i]! - 1) < 0.01 && all.lambda[i]! > 0)
      readings.push(Math.log(all.lambda[i]! / all.lambdaTarget[i]!));
  const offset = intake.sensors?.widebandFitted === false || readings.length < 60 ? 0 : median(readings);
  const excess = Math.sign(offset) * Math.max(0, Math.abs(offset) - LOOP_TOLERANCE_LN);
  return { onFuel: measured, mean: excess, sd: SENSOR_SD };
}

/** Humidity of ordinary air where the intake sheet does not give it, and what the day may differ from the sheet (ln). Common practice, no published source. */
const ORDINARY_HUMIDITY_LN = -0.007;
const HUMIDITY_SD = 0.003;
/** Injectors as a set, and the make-up of a fuel sold under one name, scatter by this (ln). Common practice, no published source. */
const FUEL_SCATTER_SD = 0.008;

/**
 * What stands between the air that the meter weighs and the air that the mixture answers to: the moisture that it weighs too, and what
 * the fuel's make-up and the injectors' scatter add. VE carries it (its cells are what this controller needs on this day), the meter's curve does
 * not: it is the meter's own.
 */
function meterOverMixture(all: Spans, calibration: Calibration, intake: Intake): { onFuel: Float64Array; onModel: Float64Array; mean: number; sd: number } {
  return {
    onFuel: all.usesMeter.map((uses) => (uses === 1 ? 1 : 0)),
    onModel: all.usesMeter.map(() => -1),
    mean: drynessLn(intake) + stoichLn(calibration, intake),
    sd: Math.hypot(HUMIDITY_SD, FUEL_SCATTER_SD),
  };
}

/** ln of the dry share of the intake air by mass. */
function drynessLn(intake: Intake): number {
  const { pressureKpa, temperatureC, relativeHumidityPercent } = intake.ambient ?? {};
  if (pressureKpa === undefined || temperatureC === undefined || relativeHumidityPercent === undefined) return ORDINARY_HUMIDITY_LN;
  return Math.log(dryShareFraction(humidityRatio({ pressureKpa, temperatureC, relativeHumidityPercent })));
}

/** ln of the controller's stoichiometric ratio over the fuel's; 0 where either is not known. Gasolines differ: the middle of the two usual bases. */
function stoichLn(calibration: Calibration, intake: Intake): number {
  const stoich = calibration.byRole["fuel.stoich"]?.cells[0];
  const ethanol = intake.fuel?.ethanolPercentVolume;
  if (stoich === undefined || ethanol === undefined || !(stoich > 5)) return 0;
  return Math.log(stoich / (0.5 * (blendAfr(ethanol / 100) + blendAfr(ethanol / 100, CUSTOMARY_GASOLINE))));
}

/** Time that the injector really passes fuel by the tables [ms]; undefined without pulse width or dead-time table. */
function openTime(all: Spans, calibration: Calibration): Float64Array | undefined {
  const deadTime = calibration.byRole["fuel.injector-dead-time"];
  if (deadTime === undefined || !all.injMs.some((ms) => ms > 0)) return undefined;
  return all.injMs.map((ms, i) => {
    const battery = Number.isNaN(all.batteryV[i]!) ? 14 : all.batteryV[i]!;
    return Math.max(0.3, ms - lookUp(deadTime, battery, all.baroKpa[i]! - all.mapKpa[i]!));
  });
}
