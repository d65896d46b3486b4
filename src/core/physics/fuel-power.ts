import { GRAMS_PER_POUND } from "./injector.ts";
import { KW_PER_HP } from "./torque.ts";

/** Injector flow each of `injectors` needs for a power [g/s]: q = P·BSFC / (n d). @source formula-sheet; PH-06a */
export function injectorFlowForPowerGps(
  powerKw: number,
  by: { readonly bsfcGPerKwh: number; readonly injectors: number; readonly dutyFraction: number },
): number {
  return (powerKw * by.bsfcGPerKwh) / 3600 / (by.injectors * by.dutyFraction);
}

/** Power that injectors can carry [kW]: P = q n d / BSFC. @source formula-sheet; PH-06b, PH-06c */
export function powerOfInjectorsKw(flowGps: number, by: { readonly bsfcGPerKwh: number; readonly injectors: number; readonly dutyFraction: number }): number {
  return (flowGps * by.injectors * by.dutyFraction * 3600) / by.bsfcGPerKwh;
}

/** Power that an airflow can carry [kW], about 1 kW for each g/s. @source formula-sheet; PH-06d */
export function powerOfAirKw(airGps: number, by: { readonly afrStoich: number; readonly lambda: number; readonly bsfcGPerKwh: number }): number {
  return ((airGps / (by.afrStoich * by.lambda)) * 3600) / by.bsfcGPerKwh;
}

/** Specific consumption [g/kWh] from the trade's pounds per horsepower and hour. @source international-pound; PH-06e */
export function bsfcGPerKwh(poundsPerHpHour: number): number {
  return (poundsPerHpHour * GRAMS_PER_POUND) / KW_PER_HP;
}

/** Share of the fuel's heat that becomes work [fraction]: 3600 / (BSFC · LHV). @source heywood-1988 (from memory); PH-06f */
export function brakeEfficiencyFraction(bsfc: number, heatingValueMjPerKg: number): number {
  return 3600 / (bsfc * heatingValueMjPerKg);
}
