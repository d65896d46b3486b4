import type { Calibration, Role, Table } from "../tables/index.ts";
import { curveFrom, type FastCurve, type FastGrid, fastCurve, fastGrid } from "./look-up.ts";
import type { VirtualVehicle } from "./vehicle.ts";

/** A calibration made ready to run; a missing table gets a plain default, as a controller of its own would have one. */
export interface ControllerMaps {
  readonly vePercent: FastGrid;
  readonly meterGps: FastCurve;
  readonly switchRpm: number;
  readonly blend: FastCurve;
  readonly stoich: number;
  readonly injectorGps: FastCurve;
  readonly deadMs: FastGrid;
  readonly fullRatio: FastCurve;
  readonly fullThrottle: FastCurve;
  readonly longTrim: boolean;
  readonly idleRpm: FastCurve;
  readonly idleAirGps: FastCurve;
  readonly followerGps: FastCurve;
  readonly areaMm2: FastCurve;
  readonly openingPercent: FastCurve;
  readonly spark: FastGrid;
  readonly lowSpark: FastGrid;
  /** Retard that takes away a share of torque; NaN where the curve never reaches it. */
  readonly retardFor: (share: number) => number;
  readonly shiftReduction: FastGrid;
  readonly shiftTimeS: FastCurve;
  readonly upshiftKmh: FastGrid;
  readonly lockupDuty: FastCurve;
  readonly linePressure: FastGrid;
  readonly limitRpm: number;
  readonly limitKmh: number;
  /** What the controller's road speed is, per true road speed. */
  readonly speedScale: number;
}

export function controllerMaps(calibration: Calibration, vehicle: VirtualVehicle): ControllerMaps {
  const t = (role: Role): Table | undefined => calibration.byRole[role];
  const value = (role: Role, otherwise: number): number => t(role)?.cells[0] ?? otherwise;
  const area = t("throttle.area-curve");
  const areaX = area?.x === undefined ? vehicle.engine.throttle.x : area.x.values;
  const areaY = area?.x === undefined ? vehicle.engine.throttle.y : area.cells;
  const meterFitted = vehicle.outfit.meter && t("air.meter-curve") !== undefined;
  const axle = value("driveline.axle-ratio", vehicle.body.axleRatio);
  const tire = value("driveline.tire-revs-per-km", vehicle.body.tireRevsPerKm);
  return {
    vePercent: fastGrid(t("air.ve"), 80),
    meterGps: fastCurve(t("air.meter-curve"), 0),
    switchRpm: meterFitted ? (t("air.ve") === undefined ? 0 : value("air.model-switch-speed", vehicle.switchRpm)) : Number.POSITIVE_INFINITY,
    blend: fastCurve(t("air.charge-temperature-blend"), 0.2),
    stoich: value("fuel.stoich", 14.6),
    injectorGps: fastCurve(t("fuel.injector-flow"), vehicle.tableInjection.ratedFlowGps),
    deadMs: fastGrid(t("fuel.injector-dead-time"), vehicle.tableInjection.deadTimeMs),
    fullRatio: fastCurve(t("fuel.full-load-ratio"), 1.12),
    fullThrottle: fastCurve(t("fuel.full-load-throttle"), 60),
    longTrim: value("fuel.long-trim-enabled", 1) >= 0.5,
    idleRpm: fastCurve(t("idle.target-speed"), vehicle.idleRpm),
    idleAirGps: fastCurve(t("idle.base-airflow"), 1.6 * vehicle.engine.displacementL),
    followerGps: fastCurve(t("idle.throttle-follower"), 0),
    areaMm2: curveFrom(areaX, areaY),
    openingPercent: curveFrom(areaY, areaX),
    spark: fastGrid(t("spark.main"), 22),
    lowSpark: fastGrid(t("spark.low-octane") ?? t("spark.main"), 18),
    retardFor: retardFor(t("torque.spark-loss")),
    shiftReduction: fastGrid(t("torque.shift-reduction"), 0),
    shiftTimeS: fastCurve(t("trans.shift-time"), 0.4),
    upshiftKmh: fastGrid(t("trans.shift-speed-up"), 40),
    lockupDuty: fastCurve(t("trans.lockup-duty-minimum"), 97),
    linePressure: fastGrid(t("trans.line-pressure"), 700),
    limitRpm: value("limit.engine-speed", vehicle.engine.maximumRpm),
    limitKmh: value("limit.vehicle-speed", 250),
    speedScale: (vehicle.body.axleRatio * vehicle.body.tireRevsPerKm) / (axle * tire),
  };
}

function retardFor(loss: Table | undefined): (share: number) => number {
  if (loss?.x === undefined) return (share) => Math.sqrt(share / 0.00047);
  const { values } = loss.x;
  const { cells } = loss;
  return (share) => {
    for (let i = 1; i < cells.length; i++)
      if (cells[i]! >= share && cells[i]! > cells[i - 1]!)
        return values[i - 1]! + (Math.max(0, share - cells[i - 1]!) / (cells[i]! - cells[i - 1]!)) * (values[i]! - values[i - 1]!);
    return Number.NaN;
  };
}
