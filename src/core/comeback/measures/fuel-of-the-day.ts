import { fuelTrimLn, type TwoDays } from "../conditions.ts";

/** Blend not known: a tank of up to a tenth of ethanol more or less asks for up to 3.5 % of trim. */
const UNKNOWN_BLEND_PERCENT = 1.5;

/** What the tank's blend moves trims by [%]. */
export function trimOfTheTank(days: TwoDays): { readonly by: number; readonly sd: number } {
  const isKnown = days.before.ethanolPercentVolume !== undefined && days.after.ethanolPercentVolume !== undefined;
  return { by: 100 * Math.expm1(fuelTrimLn(days)), sd: isKnown ? 0 : UNKNOWN_BLEND_PERCENT };
}
