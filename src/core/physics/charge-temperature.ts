import { HEAT_CAPACITY_OF_AIR_J_PER_KG_K } from "./constants.ts";

/** Charge temperature [K or °C, as given]: intake air + b (coolant − intake air). @source common-practice; PH-13a */
export function chargeTemperature(intake: number, coolant: number, coolantShare: number): number {
  return intake + coolantShare * (coolant - intake);
}

/** Coolant's share by the law of a heat exchanger with walls of one temperature [fraction]: 1 − exp(−UA/(ṁ c_p)). @source formula-sheet; PH-13b, PH-13c */
export function coolantShareFraction(heatTransferWPerK: number, airflowGps: number): number {
  return 1 - Math.exp((-1000 * heatTransferWPerK) / (airflowGps * HEAT_CAPACITY_OF_AIR_J_PER_KG_K));
}

/** By how much observed VE rises when the assumed charge is hotter [fraction]. @source formula-sheet; PH-13d */
export function veRiseOfHotterChargeFraction(chargeK: number, hotterByK: number): number {
  return hotterByK / chargeK;
}
