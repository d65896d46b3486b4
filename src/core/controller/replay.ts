import { type Calibration, lookUpCurve, type Table } from "../tables/index.ts";
import { controllerAir, type EngineSize, switchSpeedRpm } from "./air-model.ts";
import { controllerStoich, injectorDeadTimeMs, injectorFlowGps } from "./fuel-model.ts";

/** A recording as the controller lived it, shape (n) each; NaN is "not known here". The observations of a recording fit. */
export interface Lived {
  readonly n: number;
  readonly rpm: Float64Array;
  readonly mapKpa: Float64Array;
  readonly baroKpa: Float64Array;
  readonly iatC: Float64Array;
  readonly ectC: Float64Array;
  readonly batteryV: Float64Array;
  readonly mafHz: Float64Array;
  readonly meterGps: Float64Array;
  /** 1 where the meter gave the air, 0 where speed and density did. */
  readonly usesMeter: Float64Array;
  readonly lambdaTarget: Float64Array;
  readonly fuelResidual: Float64Array;
  readonly modelResidual: Float64Array;
}

/** What the controller would have reckoned over the same instants with other tables. Shape (n) each. */
export interface Replayed {
  readonly meterGps: Float64Array;
  readonly speedDensityGps: Float64Array;
  /** Air that the controller would have used for fuel [g/s]. */
  readonly controllerGps: Float64Array;
  readonly usesMeter: Float64Array;
  /** ln of real air over real fuel against what the controller would have assumed: what trims and lambda would have shown. */
  readonly fuelResidual: Float64Array;
  /** ln(meter air / speed-density air) with the new tables. */
  readonly modelResidual: Float64Array;
}

const USUAL_BATTERY_V = 14;

/**
 * Replays the controller's air and fuel path over recorded instants with other tables: the engine breathes as it did, the controller
 * reckons anew, and the residual moves by what it reckons differently.
 *
 *   r' = r − ln(fuel'/fuel),   fuel'/fuel = (air'/air) · (stoich/stoich') · (delivered per wanted)'/(delivered per wanted)
 *
 * Fuel wanted is air / (stoich · λ), and a pulse is fuel wanted / flow + dead time. The new dead time is taken as the injector's
 * own, so that the open time of the old pulse is judged by it; with unchanged injector tables the last factor is 1.
 * Not replayed: what the driver, trims and idle control would have done otherwise. Holds where the engine is steady.
 *
 * @param before  tables that were in the controller when the recording was made
 * @source PH-01, PH-05
 */
export function replay(lived: Lived, before: Calibration, after: Calibration, engine: EngineSize): Replayed {
  const { n } = lived;
  const meterGps = new Float64Array(n);
  const speedDensityGps = new Float64Array(n);
  const controllerGps = new Float64Array(n);
  const usesMeter = new Float64Array(n);
  const fuelResidual = new Float64Array(n);
  const modelResidual = new Float64Array(n);
  const hasMeter = lived.meterGps.some((flow) => flow > 0);
  const switchRpm = switchSpeedRpm(after, hasMeter);
  const stoichLn = Math.log(controllerStoich(after) / controllerStoich(before));
  const meter = meterRatio(before, after);
  for (let i = 0; i < n; i++) {
    meterGps[i] = lived.meterGps[i]! * meter(lived.mafHz[i]!, lived.meterGps[i]!);
    usesMeter[i] = Number.isNaN(switchRpm) || Number.isNaN(lived.rpm[i]!) ? lived.usesMeter[i]! : switchRpm === 0 || lived.rpm[i]! > switchRpm ? 1 : 0;
    const at = { rpm: lived.rpm[i]!, mapKpa: lived.mapKpa[i]!, iatC: lived.iatC[i]!, ectC: lived.ectC[i]! };
    const airBefore = controllerAir(before, engine, { ...at, meterGps: lived.meterGps[i]!, usesMeter: lived.usesMeter[i]! });
    const airAfter = controllerAir(after, engine, { ...at, meterGps: meterGps[i]!, usesMeter: usesMeter[i]! });
    speedDensityGps[i] = airAfter.speedDensityGps;
    const usedBefore = lived.usesMeter[i] === 1 ? lived.meterGps[i]! : airBefore.speedDensityGps;
    controllerGps[i] = usesMeter[i] === 1 ? meterGps[i]! : airAfter.speedDensityGps;
    const airLn = Math.log(controllerGps[i]! / usedBefore);
    fuelResidual[i] = lived.fuelResidual[i]! - airLn + stoichLn - deliveryLn(lived, i, before, after, engine, usedBefore, controllerGps[i]!);
    modelResidual[i] = lived.modelResidual[i]! + Math.log(meterGps[i]! / lived.meterGps[i]!) - Math.log(airAfter.speedDensityGps / airBefore.speedDensityGps);
  }
  return { meterGps, speedDensityGps, controllerGps, usesMeter, fuelResidual, modelResidual };
}

/** By how much the meter's air changes: its curves at the frequency, or, where only airflow was recorded, at the frequency that gave it. */
function meterRatio(before: Calibration, after: Calibration): (hz: number, gps: number) => number {
  const old = before.byRole["air.meter-curve"];
  const renewed = after.byRole["air.meter-curve"];
  if (old === undefined || renewed === undefined || old === renewed) return () => 1;
  return (hz, gps) => {
    const at = Number.isNaN(hz) ? meterFrequencyHz(old, gps) : hz;
    const ratio = lookUpCurve(renewed, at) / lookUpCurve(old, at);
    return Number.isFinite(ratio) && ratio > 0 ? ratio : 1;
  };
}

/** Frequency at which a rising meter curve gives an airflow [Hz]; NaN outside it. */
export function meterFrequencyHz({ x, cells: gps }: Table, wanted: number): number {
  const hz = x?.values ?? new Float64Array(0);
  for (let i = 1; i < hz.length; i++) {
    const [low, high] = [gps[i - 1]!, gps[i]!];
    if (wanted >= low && wanted <= high && high > low) return hz[i - 1]! + ((wanted - low) / (high - low)) * (hz[i]! - hz[i - 1]!);
  }
  return Number.NaN;
}

/** ln of how much more fuel comes for the fuel wanted with the new injector tables; 0 where they did not change or are missing. */
function deliveryLn(lived: Lived, i: number, before: Calibration, after: Calibration, engine: EngineSize, airBefore: number, airAfter: number): number {
  if (!injectorChanged(before, after)) return 0;
  const vacuumKpa = lived.baroKpa[i]! - lived.mapKpa[i]!;
  const batteryV = Number.isNaN(lived.batteryV[i]!) ? USUAL_BATTERY_V : lived.batteryV[i]!;
  const lambda = Number.isNaN(lived.lambdaTarget[i]!) ? 1 : lived.lambdaTarget[i]!;
  const wantedMs = (calibration: Calibration, airGps: number): number =>
    (120_000 * airGps) / (controllerStoich(calibration) * lambda * engine.cylinders * lived.rpm[i]! * injectorFlowGps(calibration, vacuumKpa));
  const deadBefore = injectorDeadTimeMs(before, batteryV, vacuumKpa);
  const deadAfter = injectorDeadTimeMs(after, batteryV, vacuumKpa);
  const openBefore = wantedMs(before, airBefore) + (deadBefore - deadAfter || 0);
  const openAfter = wantedMs(after, airAfter);
  const wantedLn = Math.log(airAfter / airBefore) - Math.log(controllerStoich(after) / controllerStoich(before));
  const deliveredLn = Math.log(openAfter / openBefore);
  return openBefore > 0 && Number.isFinite(deliveredLn) ? deliveredLn - wantedLn : 0;
}

function injectorChanged(before: Calibration, after: Calibration): boolean {
  const roles = ["fuel.injector-flow", "fuel.injector-dead-time"] as const;
  return roles.some((role) => {
    const [old, renewed] = [before.byRole[role], after.byRole[role]];
    return old !== undefined && renewed !== undefined && !old.cells.every((cell, k) => cell === renewed.cells[k]);
  });
}
