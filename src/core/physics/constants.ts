/** Gas constant of dry air [J/(kg K)], molar mass 28.965 g/mol. @source heywood-1988 (from memory) */
export const GAS_CONSTANT_OF_AIR_J_PER_KG_K = 287.05;

/** Gas constant of burned gas from gasoline [J/(kg K)]; within 1 % of air's, so plug-flow delays do not care. @source formula-sheet */
export const GAS_CONSTANT_OF_EXHAUST_J_PER_KG_K = 287;

/** Ratio of specific heats of air. @source heywood-1988 (from memory) */
export const HEAT_RATIO_OF_AIR = 1.4;

/** Specific heat of air at constant pressure [J/(kg K)]. @source heywood-1988 (from memory) */
export const HEAT_CAPACITY_OF_AIR_J_PER_KG_K = 1005;

/** Standard acceleration of gravity [m/s²], exact. @source si-brochure */
export const GRAVITY_M_PER_S2 = 9.80665;

/** 0 °C in kelvin, exact. @source si-brochure */
export const ZERO_CELSIUS_K = 273.15;

/** Kelvin from degrees Celsius. */
export function kelvin(temperatureC: number): number {
  return temperatureC + ZERO_CELSIUS_K;
}
