import { type Calibration, lookUp, lookUpCurve, type Table } from "../tables/index.ts";

/** Gas constant of dry air [kJ/(kg K)]. @source formula-sheet; PH-01 */
const GAS_CONSTANT_KJ_KG_K = 0.28705;
const ZERO_C_IN_K = 273.15;

export interface EngineSize {
  readonly displacementL: number;
  readonly cylinders: number;
}

/**
 * Charge temperature by the controller's own blend [K]: intake air warmed towards the coolant by a share that depends on airflow.
 * Without a blend table the intake air temperature stands alone.
 * @source formula-sheet; PH-13
 */
export function chargeTemperatureK(blend: Table | undefined, at: { iatC: number; ectC: number; airflowGps: number }): number {
  const share = blend === undefined || Number.isNaN(at.ectC) ? 0 : lookUpCurve(blend, at.airflowGps);
  return ZERO_C_IN_K + at.iatC + share * (Number.isNaN(at.ectC) ? 0 : at.ectC - at.iatC);
}

/** Airflow of a four-stroke engine by speed and density [g/s]. @source formula-sheet; PH-01 */
export function speedDensityGps(engine: EngineSize, at: { veFraction: number; mapKpa: number; rpm: number; chargeK: number }): number {
  return (at.veFraction * at.mapKpa * engine.displacementL * at.rpm) / (120 * GAS_CONSTANT_KJ_KG_K * at.chargeK);
}

/** What the controller computes of the air at one instant from its own tables. */
export interface ControllerAir {
  readonly chargeK: number;
  readonly veFraction: number;
  readonly speedDensityGps: number;
}

/** Speed-density air with the controller's VE and charge temperature; the blend is looked up at the airflow in use. */
export function controllerAir(
  calibration: Calibration,
  engine: EngineSize,
  at: { rpm: number; mapKpa: number; iatC: number; ectC: number; meterGps: number; usesMeter: number },
): ControllerAir {
  const ve = calibration.byRole["air.ve"];
  const blend = calibration.byRole["air.charge-temperature-blend"];
  const veFraction = ve === undefined ? Number.NaN : lookUp(ve, at.rpm, at.mapKpa) / 100;
  const fromMeter = at.usesMeter === 1 && !Number.isNaN(at.meterGps);
  // The blend depends on the airflow and the airflow on the blend: two rounds settle it to well under a tenth of a percent.
  let airflowGps = fromMeter ? at.meterGps : speedDensityGps(engine, { veFraction: Number.isNaN(veFraction) ? 0.7 : veFraction, ...at, chargeK: 310 });
  let chargeK = chargeTemperatureK(blend, { ...at, airflowGps });
  if (!fromMeter) {
    airflowGps = speedDensityGps(engine, { veFraction: Number.isNaN(veFraction) ? 0.7 : veFraction, ...at, chargeK });
    chargeK = chargeTemperatureK(blend, { ...at, airflowGps });
  }
  return { chargeK, veFraction, speedDensityGps: speedDensityGps(engine, { veFraction, ...at, chargeK }) };
}

/** Speed above which the meter alone gives the air [rpm]: 0 the meter alone, infinite speed-density alone, NaN not known. */
export function switchSpeedRpm(calibration: Calibration | undefined, meterPresent: boolean): number {
  if (!meterPresent) return Number.POSITIVE_INFINITY;
  const table = calibration?.byRole["air.model-switch-speed"];
  return table === undefined ? Number.NaN : table.cells[0]!;
}
