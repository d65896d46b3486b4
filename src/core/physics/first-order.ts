/** Share of a step that a first-order lag shows after some time [fraction]: 1 − exp(−t/τ); 0 before the step. @source formula-sheet; PH-07d, PH-10a */
export function stepShownFraction(sinceStepS: number, lagS: number): number {
  return sinceStepS <= 0 ? 0 : 1 - Math.exp(-sinceStepS / lagS);
}

/** Rise time from 10 to 90 % of a step [s]: τ ln 9. @source formula-sheet; PH-10b */
export function riseTimeS(lagS: number): number {
  return Math.log(9) * lagS;
}

/** Share of a ripple's amplitude that a first-order lag leaves [fraction]: 1/√(1 + (2πfτ)²). @source formula-sheet; PH-10c */
export function rippleKeptFraction(frequencyHz: number, lagS: number): number {
  return 1 / Math.sqrt(1 + (2 * Math.PI * frequencyHz * lagS) ** 2);
}

/** Next output of a first-order lag [unit of input], exact for an input held over the step. @source formula-sheet */
export function laggedStep(output: number, input: number, time: { readonly stepS: number; readonly lagS: number }): number {
  return time.lagS <= 0 ? input : input + (output - input) * Math.exp(-time.stepS / time.lagS);
}
