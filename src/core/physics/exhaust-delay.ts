import { GAS_CONSTANT_OF_EXHAUST_J_PER_KG_K } from "./constants.ts";

/** Gas that stands between exhaust valve and sensor [g]: p V / (R T). @source formula-sheet; PH-09a */
export function exhaustGasG(pipe: { readonly volumeL: number; readonly pressureKpa: number; readonly gasK: number }): number {
  return (1000 * pipe.pressureKpa * pipe.volumeL) / (GAS_CONSTANT_OF_EXHAUST_J_PER_KG_K * pipe.gasK);
}

/** Exhaust flow [g/s]: air and the fuel burned with it. @source formula-sheet */
export function exhaustFlowGps(airGps: number, airFuelRatio: number): number {
  return airGps * (1 + 1 / airFuelRatio);
}

/** Time the gas takes through the pipe [s], plug flow. @source formula-sheet; PH-09b, PH-09c */
export function plugFlowDelayS(gasG: number, flowGps: number): number {
  return gasG / flowGps;
}

/** Time from injection to exhaust [s], so many revolutions (1.5–2.5 by common practice). @source common-practice; PH-09d */
export function cycleDelayS(revolutions: number, rpm: number): number {
  return (60 * revolutions) / rpm;
}

/** Whole delay of the exhaust measurement [s]: engine part plus pipe part. @source formula-sheet; PH-09e */
export function exhaustDelayS(at: { readonly revolutions: number; readonly rpm: number; readonly gasG: number; readonly flowGps: number }): number {
  return cycleDelayS(at.revolutions, at.rpm) + plugFlowDelayS(at.gasG, at.flowGps);
}
