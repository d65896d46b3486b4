import { GRAVITY_M_PER_S2 } from "./constants.ts";

const SEA_LEVEL_K = 288.15;
const SEA_LEVEL_KPA = 101.325;
const LAPSE_K_PER_M = 0.0065;
/** The standard's own gas constant, not the engine's. */
const GAS_CONSTANT = 287.05287;
const EARTH_RADIUS_M = 6_356_766;

/** The standard day at an altitude. */
export interface StandardDay {
  readonly temperatureK: number;
  readonly pressureKpa: number;
  readonly densityKgM3: number;
}

/** The standard atmosphere at a geopotential altitude, −2000 to 11 000 m. @source iso-2533; AP-ISO2533-0-T to AP-ISO2533-3000-D */
export function standardAtmosphere(geopotentialM: number): StandardDay {
  const temperatureK = SEA_LEVEL_K - LAPSE_K_PER_M * geopotentialM;
  const pressureKpa = SEA_LEVEL_KPA * (temperatureK / SEA_LEVEL_K) ** (GRAVITY_M_PER_S2 / (LAPSE_K_PER_M * GAS_CONSTANT));
  return { temperatureK, pressureKpa, densityKgM3: (1000 * pressureKpa) / (GAS_CONSTANT * temperatureK) };
}

/** Geopotential altitude [m] of a height above sea level. @source iso-2533; AP-ISO2533-G1000-P */
export function geopotentialM(heightM: number): number {
  return (EARTH_RADIUS_M * heightM) / (EARTH_RADIUS_M + heightM);
}
