import { AIR_J_PER_G_K } from "./gas.ts";
import type { EnginePlant } from "./vehicle.ts";

/** Coolant's true share in charge temperature at an airflow. @source PH-13 (trend) */
export function heatingShare(engine: EnginePlant, flowGps: number): number {
  const { floor, rest, scaleGps, power } = engine.heating;
  return floor + rest * Math.exp(-((Math.max(0, flowGps) / scaleGps) ** power));
}

/** Steady flow into the cylinders and the charge temperature that goes with it. */
export function steadyCharge(
  engine: EnginePlant,
  at: { readonly rpm: number; readonly mapKpa: number; readonly intakeK: number; readonly coolantK: number; readonly veFraction: number },
): { readonly flowGps: number; readonly chargeK: number } {
  let chargeK = at.intakeK;
  let flowGps = 0;
  for (let i = 0; i < 12; i++) {
    flowGps = ((at.veFraction * at.mapKpa * engine.displacementL) / (AIR_J_PER_G_K * chargeK)) * (at.rpm / 120);
    chargeK = at.intakeK + heatingShare(engine, flowGps) * (at.coolantK - at.intakeK);
  }
  return { flowGps, chargeK };
}
