import { GAS_CONSTANT_OF_AIR_J_PER_KG_K } from "./constants.ts";

/** Time constant of a manifold that empties into the engine [s]: 120 V_m / (VE V_d N). @source hendricks-sorenson-1990 (from memory); PH-07a, PH-07b */
export function manifoldTimeConstantS(at: {
  readonly manifoldL: number;
  readonly veFraction: number;
  readonly displacementL: number;
  readonly rpm: number;
}): number {
  return (120 * at.manifoldL) / (at.veFraction * at.displacementL * at.rpm);
}

/** Rate of manifold pressure that a surplus of inflow causes [kPa/s], isothermal: dp/dt = (R T / V_m) Δṁ. @source open-mvem; PH-07c */
export function manifoldPressureRateKpaPerS(surplusGps: number, manifold: { readonly manifoldL: number; readonly chargeK: number }): number {
  return (GAS_CONSTANT_OF_AIR_J_PER_KG_K * manifold.chargeK * surplusGps) / manifold.manifoldL / 1000;
}

/**
 * Flow that only fills the manifold [g/s]: (V_m / (R T)) dp/dt. A meter ahead of it sees the cylinders' air plus this.
 *
 * @source open-mvem, guzzella-onder (from memory)
 */
export function manifoldFillingGps(pressureRateKpaPerS: number, manifold: { readonly manifoldL: number; readonly chargeK: number }): number {
  return (1000 * pressureRateKpaPerS * manifold.manifoldL) / (GAS_CONSTANT_OF_AIR_J_PER_KG_K * manifold.chargeK);
}
