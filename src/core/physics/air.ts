import { GAS_CONSTANT_OF_AIR_J_PER_KG_K } from "./constants.ts";

/** A four-stroke cylinder breathes every second revolution: 60 s · 2 revolutions. */
const SECONDS_TIMES_REVOLUTIONS = 120;

/**
 * Air taken in by one cylinder in one cycle, from speed and density [g].
 *
 *   m = VE · p · V / (R · T)
 *
 * Ideal gas; p and T are those of the charge in the manifold, so VE is referred to manifold conditions. Holds when the
 * manifold neither fills nor empties; in a transient see `manifoldFillingGps`. NaN where any input is NaN.
 *
 * @source heywood-1988 (from memory), guzzella-onder (from memory); worked value PH-01a
 */
export function airPerCylinderG(at: { readonly veFraction: number; readonly mapKpa: number; readonly chargeK: number; readonly cylinderL: number }): number {
  return at.veFraction * chargeDensityKgM3(at.mapKpa, at.chargeK) * at.cylinderL; // kg/m³ is g/L
}

/** Density of dry air at pressure and temperature [kg/m³], ideal gas. @source heywood-1988 (from memory) */
export function chargeDensityKgM3(pressureKpa: number, temperatureK: number): number {
  return (pressureKpa * 1000) / (GAS_CONSTANT_OF_AIR_J_PER_KG_K * temperatureK);
}

/** Airflow of a four-stroke engine [g/s] from the air of one cylinder and cycle: ṁ = m n N / 120. @source heywood-1988 (from memory); PH-01b */
export function engineAirflowGps(airG: number, engine: { readonly cylinders: number; readonly rpm: number }): number {
  return (airG * engine.cylinders * engine.rpm) / SECONDS_TIMES_REVOLUTIONS;
}

/** Airflow by speed and density [g/s]; takes displacement instead of a cylinder's volume. @source heywood-1988 (from memory); PH-02d */
export function speedDensityGps(at: {
  readonly veFraction: number;
  readonly mapKpa: number;
  readonly chargeK: number;
  readonly displacementL: number;
  readonly rpm: number;
}): number {
  return (at.veFraction * chargeDensityKgM3(at.mapKpa, at.chargeK) * at.displacementL * at.rpm) / SECONDS_TIMES_REVOLUTIONS;
}

/** Air of one cylinder and cycle [g] from a flow: m = 120 ṁ / (n N). Infinite at standstill. @source heywood-1988 (from memory); PH-02a */
export function airPerCylinderFromFlowG(flowGps: number, engine: { readonly cylinders: number; readonly rpm: number }): number {
  return (SECONDS_TIMES_REVOLUTIONS * flowGps) / (engine.cylinders * engine.rpm);
}

/**
 * Volumetric efficiency that a flow means [fraction], referred to manifold conditions: the inverse of `speedDensityGps`.
 *
 * The flow is the cylinders' only if nothing enters after the meter and the manifold neither fills nor empties.
 *
 * @source heywood-1988 (from memory); PH-02b, PH-02e
 */
export function observedVeFraction(at: {
  readonly flowGps: number;
  readonly mapKpa: number;
  readonly chargeK: number;
  readonly displacementL: number;
  readonly rpm: number;
}): number {
  return (SECONDS_TIMES_REVOLUTIONS * at.flowGps) / (chargeDensityKgM3(at.mapKpa, at.chargeK) * at.displacementL * at.rpm);
}

/** Air density to which absolute load is referred [g/L]: SAE J1979 fixes it. @source j1979 (from memory) */
const LOAD_REFERENCE_G_PER_L = 1.184;

/** Absolute load [%], the air of one cylinder against its volume at 25 °C and one atmosphere. @source j1979 (from memory); PH-02c */
export function absoluteLoadPercent(airG: number, cylinderL: number): number {
  return (100 * airG) / (LOAD_REFERENCE_G_PER_L * cylinderL);
}
