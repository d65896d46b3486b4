/** Both trims as one correction [fraction]: they multiply, they do not add. @source common-practice; PH-12a */
export function totalTrimFraction(shortFraction: number, longFraction: number): number {
  return (1 + shortFraction) * (1 + longFraction) - 1;
}

/** Both trims as a natural logarithm: what residuals add up. @source common-practice */
export function trimLn(shortFraction: number, longFraction: number): number {
  return Math.log1p(shortFraction) + Math.log1p(longFraction);
}

/**
 * Fuel residual [ln]: by how much real air over real fuel differs from what the controller assumed.
 *
 *   r = ln(λ / λ_target) + ln(1 + STFT) + ln(1 + LTFT)
 *
 * @source common-practice; PH-12b, as a factor on air exp(r): PH-12c
 */
export function fuelResidualLn(at: {
  readonly lambda: number;
  readonly lambdaTarget: number;
  readonly shortFraction: number;
  readonly longFraction: number;
}): number {
  return Math.log(at.lambda / at.lambdaTarget) + trimLn(at.shortFraction, at.longFraction);
}
