import { type BreathingSpec, breathingFraction } from "./breathing.ts";
import { steadyCharge } from "./charge.ts";
import { cylinderAirG } from "./gas.ts";
import { bestAdvanceDeg, filling, frictionNm, idealTorqueNm, pumpingNm, sparkShare } from "./torque.ts";
import type { VirtualVehicle } from "./vehicle.ts";

/** Torque of alternator, oil and water pumps and a converter at rest [Nm]. */
export function accessoryNm(vehicle: VirtualVehicle): number {
  return 3 + 1.3 * vehicle.engine.displacementL;
}

export interface IdleState {
  readonly airGps: number;
  readonly mapKpa: number;
}

/** Air and pressure at which the engine just keeps a speed against friction, gas exchange and accessories. */
export function steadyIdle(
  vehicle: VirtualVehicle,
  breathing: BreathingSpec,
  at: {
    readonly rpm: number;
    readonly coolantC: number;
    readonly intakeC: number;
    readonly ambientKpa: number;
    readonly sparkDeg: (rpm: number, airG: number) => number;
  },
): IdleState {
  const { engine } = vehicle;
  const cylinderL = engine.displacementL / engine.cylinders;
  let low = 12;
  let high = at.ambientKpa * 0.98;
  let airGps = 0;
  for (let i = 0; i < 40; i++) {
    const mapKpa = (low + high) / 2;
    const veFraction = breathingFraction(breathing, at.ambientKpa, at.rpm, mapKpa);
    const { flowGps, chargeK } = steadyCharge(engine, { rpm: at.rpm, mapKpa, intakeK: at.intakeC + 273.15, coolantK: at.coolantC + 273.15, veFraction });
    const airG = cylinderAirG(veFraction, mapKpa, cylinderL, chargeK);
    const share = filling(airG, cylinderL);
    const best = bestAdvanceDeg(engine, at.rpm, share);
    const made = idealTorqueNm(engine, vehicle.fuel, flowGps * 0.99, at.rpm) * sparkShare(engine, best - at.sparkDeg(at.rpm, airG));
    const needed = frictionNm(engine, at.rpm, at.coolantC) + pumpingNm(engine, at.rpm, mapKpa, at.ambientKpa) + accessoryNm(vehicle);
    if (made > needed) high = mapKpa;
    else low = mapKpa;
    airGps = flowGps;
  }
  return { airGps, mapKpa: (low + high) / 2 };
}
