/** Mass that a turning inertia counts as at the roller's surface [kg]: I / r². @source formula-sheet; PH-16a */
export function equivalentMassKg(inertiaKgM2: number, radiusM: number): number {
  return inertiaKgM2 / radiusM ** 2;
}

/** Power into a mass that gains speed [kW]: M v dv/dt. @source formula-sheet; PH-16b */
export function inertiaPowerKw(massKg: number, at: { readonly speedMs: number; readonly accelerationMs2: number }): number {
  return (massKg * at.speedMs * at.accelerationMs2) / 1000;
}

/** Mean power into a mass between two speeds [kW], by its kinetic energy. @source formula-sheet; PH-16c */
export function energyPowerKw(massKg: number, between: { readonly fromKmh: number; readonly toKmh: number; readonly timeS: number }): number {
  return (0.5 * massKg * ((between.toKmh / 3.6) ** 2 - (between.fromKmh / 3.6) ** 2)) / between.timeS / 1000;
}

/** Power of a force at a speed [kW]. @source formula-sheet; PH-16d */
export function forcePowerKw(forceN: number, speedKmh: number): number {
  return (forceN * speedKmh) / 3600;
}
