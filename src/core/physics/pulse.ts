/** One pulse in two revolutions: a duty of 1 lasts 120 000 ms / rpm. */
const MS_TIMES_RPM_OF_A_CYCLE = 120_000;

/** Fuel that a cylinder's air asks for [mg]: m / (AFR_st λ). @source heywood-1988 (from memory); PH-05a */
export function fuelPerCylinderMg(airG: number, mixture: { readonly afrStoich: number; readonly lambda: number }): number {
  return (1000 * airG) / (mixture.afrStoich * mixture.lambda);
}

/** Time the injector must flow [ms]: mass over flow (mg per g/s is ms). @source formula-sheet; PH-05b */
export function effectivePulseMs(fuelMg: number, flowGps: number): number {
  return fuelMg / flowGps;
}

/** Commanded pulse [ms]: effective time plus dead time. @source formula-sheet; PH-05c */
export function commandedPulseMs(fuelMg: number, injector: { readonly flowGps: number; readonly deadTimeMs: number }): number {
  return effectivePulseMs(fuelMg, injector.flowGps) + injector.deadTimeMs;
}

/** Fuel that a commanded pulse delivers [mg], never below 0. @source formula-sheet */
export function fuelOfPulseMg(pulseMs: number, injector: { readonly flowGps: number; readonly deadTimeMs: number }): number {
  const effectiveMs = pulseMs - injector.deadTimeMs;
  return effectiveMs < 0 ? 0 : effectiveMs * injector.flowGps;
}

/** Share of the cycle for which the injector is held open [fraction], one pulse a cycle. @source formula-sheet; PH-05d, PH-05e */
export function injectorDutyFraction(pulseMs: number, rpm: number): number {
  return (pulseMs * rpm) / MS_TIMES_RPM_OF_A_CYCLE;
}

/** Longest pulse that a duty allows [ms]. @source formula-sheet; PH-05f */
export function longestPulseMs(dutyFraction: number, rpm: number): number {
  return (dutyFraction * MS_TIMES_RPM_OF_A_CYCLE) / rpm;
}

/** Share of fuel missing where the dead time is entered too short by `errorMs` [fraction]. @source formula-sheet; PH-05g, PH-05h */
export function deadTimeErrorFraction(errorMs: number, effectiveMs: number): number {
  return errorMs / effectiveMs;
}
