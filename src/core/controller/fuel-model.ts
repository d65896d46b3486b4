import { type Calibration, lookUp, lookUpCurve } from "../tables/index.ts";
import type { EngineSize } from "./air-model.ts";

/** Stoichiometric ratio that the controller reckons with; gasoline without ethanol when the table is missing. */
export function controllerStoich(calibration: Calibration): number {
  return calibration.byRole["fuel.stoich"]?.cells[0] ?? 14.7;
}

/** Injector flow by the controller's table [g/s], vacuum below ambient in kPa; NaN without a table. */
export function injectorFlowGps(calibration: Calibration, vacuumKpa: number): number {
  const table = calibration.byRole["fuel.injector-flow"];
  return table === undefined ? Number.NaN : lookUpCurve(table, vacuumKpa);
}

/** Injector dead time by the controller's table [ms]; NaN without a table. */
export function injectorDeadTimeMs(calibration: Calibration, batteryV: number, vacuumKpa: number): number {
  const table = calibration.byRole["fuel.injector-dead-time"];
  return table === undefined ? Number.NaN : lookUp(table, batteryV, vacuumKpa);
}

/**
 * Air that the controller must have reckoned with, worked back from the pulse width it commanded [g/s]:
 * fuel = (pulse − dead time) · flow, air = fuel · stoich · λ_target / trims, one pulse a cylinder and cycle.
 * Free of the rounding of the logged manifold pressure. NaN where the pulse does not exceed the dead time.
 * @source formula-sheet; PH-05
 */
export function airFromPulseGps(
  calibration: Calibration,
  engine: EngineSize,
  at: { injMs: number; batteryV: number; vacuumKpa: number; rpm: number; lambdaTarget: number; trimLn: number },
): number {
  const openMs = at.injMs - injectorDeadTimeMs(calibration, at.batteryV, at.vacuumKpa);
  if (!(openMs > 0)) return Number.NaN;
  const fuelGps = (openMs * injectorFlowGps(calibration, at.vacuumKpa) * engine.cylinders * at.rpm) / 120_000;
  return fuelGps * controllerStoich(calibration) * at.lambdaTarget * Math.exp(-at.trimLn);
}
