import type { Defects, InjectionPlant } from "./vehicle.ts";

/** Fuel that one injector passes while open [g/s], by the pressure across it. @source PH-04 */
export function injectorFlowGps(injection: InjectionPlant, railKpa: number, vacuumKpa: number): number {
  const across = injection.railReference === "manifold" ? railKpa : railKpa + vacuumKpa;
  return injection.ratedFlowGps * Math.sqrt(Math.max(5, across) / injection.ratedKpa);
}

/** Time before an injector opens [ms]. @source PH-05 (trend); power law common practice */
export function deadTimeMs(injection: InjectionPlant, batteryV: number, vacuumKpa: number): number {
  const volts = Math.max(5, batteryV);
  return injection.deadTimeMs * (14 / volts) ** injection.deadTimePower + injection.deadTimePerKpa * vacuumKpa;
}

/** Dead time of the injectors really fitted, a defect's shift included [ms]. */
export function fittedDeadTimeMs(injection: InjectionPlant, defects: Defects, batteryV: number, vacuumKpa: number): number {
  const sound = deadTimeMs(injection, batteryV, vacuumKpa);
  return defects.deadShiftMs === 0 ? sound : Math.max(0.05, sound + defects.deadShiftMs * (14 / Math.max(5, batteryV)) ** defects.deadShiftVoltPower);
}

/** Rail pressure as the pump holds it [kPa], gauge or over manifold: falls with the square of fuel flow when delivery is weak. */
export function railPressureKpa(injection: InjectionPlant, defects: Defects, fuelShareOfFull: number): number {
  if (defects.railSagKpa === 0 && defects.railBaseLossKpa === 0) return injection.railKpa;
  return Math.max(60, injection.railKpa - defects.railBaseLossKpa - defects.railSagKpa * Math.min(1.5, fuelShareOfFull) ** 1.5);
}
