import { GRAVITY_M_PER_S2 } from "./constants.ts";

/** Rolling resistance [N]: m g c_r cos θ, flat road unless a grade is given. @source gillespie (from memory); PH-14a */
export function rollingForceN(massKg: number, coefficient: number, gradeFraction = 0): number {
  return massKg * GRAVITY_M_PER_S2 * coefficient * Math.cos(Math.atan(gradeFraction));
}

/** Aerodynamic drag [N]: ½ ρ c_d A v². @source gillespie (from memory); PH-14b */
export function dragForceN(
  speedKmh: number,
  body: { readonly airDensityKgM3: number; readonly dragCoefficient: number; readonly frontalAreaM2: number },
): number {
  return 0.5 * body.airDensityKgM3 * body.dragCoefficient * body.frontalAreaM2 * (speedKmh / 3.6) ** 2;
}

/** Force to accelerate [N]; `rotatingFactor` counts turning parts as mass. @source gillespie (from memory); PH-14d */
export function accelerationForceN(massKg: number, accelerationMPerS2: number, rotatingFactor = 1): number {
  return massKg * rotatingFactor * accelerationMPerS2;
}

/** Force up a grade [N]: m g sin θ, the grade as rise over run. @source gillespie (from memory); PH-14e */
export function gradeForceN(massKg: number, gradeFraction: number): number {
  return massKg * GRAVITY_M_PER_S2 * Math.sin(Math.atan(gradeFraction));
}

/** Coast-down force F = A + B v + C v² [N], v in m/s. @source epa-road-load */
export interface CoastDownForce {
  readonly constantN: number;
  readonly perSpeedNs: number;
  readonly perSpeedSquaredNs2: number;
}

/** Road load at a speed [N]. @source epa-road-load */
export function coastDownForceN(load: CoastDownForce, speedKmh: number): number {
  const speedMs = speedKmh / 3.6;
  return load.constantN + load.perSpeedNs * speedMs + load.perSpeedSquaredNs2 * speedMs ** 2;
}
