import { kelvin } from "./constants.ts";

/** A state of ambient air. */
export interface AmbientAir {
  readonly pressureKpa: number;
  readonly temperatureC: number;
  readonly relativeHumidityPercent: number;
}

const MOLAR_MASS_OF_WATER = 18.01528;
const MOLAR_MASS_OF_DRY_AIR = 28.96546;
/** Water's molar mass over dry air's. @source cfr-86-344; AP-HUM-A */
const WATER_OVER_AIR = MOLAR_MASS_OF_WATER / MOLAR_MASS_OF_DRY_AIR;

/** Coefficients of the saturation line, region 4. @source iapws-if97 */
const REGION_4 = [
  0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.1202082470247e5, -0.32325550322333e7, 0.1491510861353e2, -0.48232657361591e4,
  0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
] as const;

/**
 * Saturation pressure of water over liquid water [kPa]. Holds from 0 to 373 °C; extrapolates below freezing, where it
 * stays a useful figure for supercooled water.
 *
 * @source iapws-if97; AP-PSAT-0.01 to AP-PSAT-45
 */
export function saturationPressureKpa(temperatureC: number): number {
  const [n1, n2, n3, n4, n5, n6, n7, n8, n9, n10] = REGION_4;
  const t = kelvin(temperatureC);
  const theta = t + n9 / (t - n10);
  const a = theta ** 2 + n1 * theta + n2;
  const b = n3 * theta ** 2 + n4 * theta + n5;
  const c = n6 * theta ** 2 + n7 * theta + n8;
  return 1000 * ((2 * c) / (-b + Math.sqrt(b ** 2 - 4 * a * c))) ** 4;
}

/** Pressure of water vapour in moist air [kPa]. @source definition */
export function vapourPressureKpa(air: AmbientAir): number {
  return (air.relativeHumidityPercent / 100) * saturationPressureKpa(air.temperatureC);
}

/** Pressure of the dry part of moist air [kPa]: what power corrections are about. @source definition; AP-J1349-2 */
export function dryPressureKpa(air: AmbientAir): number {
  return air.pressureKpa - vapourPressureKpa(air);
}

/** Water per dry air [kg/kg]: 0.622 p_v / (p − p_v). @source cfr-86-344; AP-HUM-A, AP-HUM-B */
export function humidityRatio(air: AmbientAir): number {
  const vapour = vapourPressureKpa(air);
  return (WATER_OVER_AIR * vapour) / (air.pressureKpa - vapour);
}

/** Share of a moist mass that is dry and can burn fuel [fraction]: 1/(1 + w). @source cfr-86-344; PH-20a */
export function dryShareFraction(waterPerDryAir: number): number {
  return 1 / (1 + waterPerDryAir);
}

/** By how much the mixture is richer than a meter of moist mass lets one think [fraction]. @source formula-sheet; PH-20b */
export function humidityRichFraction(waterPerDryAir: number): number {
  return 1 - dryShareFraction(waterPerDryAir);
}

const GAS_CONSTANT_OF_VAPOUR = 461.5228;
const GAS_CONSTANT_OF_DRY_AIR = 287.0475;

/** Density of moist air as a mixture of ideal gases [kg/m³], within 0.05 % of CIPM-2007. @source ideal-gas; AP-MOIST-35, AP-MOIST-5 */
export function moistAirDensityKgM3(air: AmbientAir): number {
  const t = kelvin(air.temperatureC);
  const vapourPa = 1000 * vapourPressureKpa(air);
  const dryPa = 1000 * air.pressureKpa - vapourPa;
  return dryPa / (GAS_CONSTANT_OF_DRY_AIR * t) + vapourPa / (GAS_CONSTANT_OF_VAPOUR * t);
}

/**
 * Density of moist air for the balance and the weighbridge [kg/m³], real gas. Holds from 60 to 110 kPa and 15 to 27 °C.
 *
 * @param carbonDioxideFraction  mole fraction in the room, 0.0004 outdoors
 * @source cipm-2007; AP-CIPM-1 to AP-CIPM-9
 */
export function cipmAirDensityKgM3(air: AmbientAir, carbonDioxideFraction = 0.0004): number {
  const t = air.temperatureC;
  const kelvins = kelvin(t);
  const p = 1000 * air.pressureKpa;
  const saturation = Math.exp(1.2378847e-5 * kelvins ** 2 - 1.9121316e-2 * kelvins + 33.93711047 - 6.3431645e3 / kelvins);
  const enhancement = 1.00062 + 3.14e-8 * p + 5.6e-7 * t ** 2;
  const water = ((air.relativeHumidityPercent / 100) * enhancement * saturation) / p;
  const first = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t ** 2 + (5.707e-6 - 2.051e-8 * t) * water + (1.9898e-4 - 2.376e-6 * t) * water ** 2;
  const compressibility = 1 - (p / kelvins) * first + (p / kelvins) ** 2 * (1.83e-11 - 0.765e-8 * water ** 2);
  const molarMass = (MOLAR_MASS_OF_DRY_AIR + 12.011 * (carbonDioxideFraction - 0.0004)) / 1000;
  return ((p * molarMass) / (compressibility * 8.314472 * kelvins)) * (1 - water * (1 - MOLAR_MASS_OF_WATER / 1000 / molarMass));
}
