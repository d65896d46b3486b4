import { huberWeight, leastSquares, robustSd } from "../statistics/index.ts";

/** How a controller joins its two trims into one factor on the fuel. */
export type TrimLaw = "product" | "sum";

/** ln of the factor that a short- and a long-term trim [%] make together; a missing long-term trim counts as none. Shape (n). */
export function trimFactorLn(shortPercent: Float64Array, longPercent: Float64Array, law: TrimLaw): Float64Array {
  return shortPercent.map((short, i) => {
    const long = Number.isNaN(longPercent[i]!) ? 0 : longPercent[i]!;
    return law === "sum" ? Math.log1p((short + long) / 100) : Math.log1p(short / 100) + Math.log1p(long / 100);
  });
}

/**
 * Which of two candidate factors the pulse width follows, as a share: 0 the first, 1 the second, NaN when they differ too
 * little to tell.
 *
 * With both trims near −15 % product and sum differ by 2 %, so a wrong law reads as an error of the air tables at idle.
 * The controller's own pulse tells: ln(air worked back from the pulse / air of its tables) − first = c + share · (second − first).
 *
 * @param pulseLn  shape (n): ln(air from the pulse before any trim / air of the tables)
 * @param weight   shape (n): 0 leaves a sample out
 */
export function shareOfSecond(pulseLn: Float64Array, first: Float64Array, second: Float64Array, weight: Float64Array): number {
  const left = pulseLn.map((v, i) => v - first[i]!);
  const difference = second.map((v, i) => v - first[i]!);
  const finite = weight.map((w, i) => (Number.isFinite(left[i]! + difference[i]!) ? w : 0));
  let weights = finite;
  let fit = leastSquares([left.map(() => 1), difference], left, weights);
  for (let pass = 0; pass < 4 && fit !== undefined; pass++) {
    const [level, share] = [fit.coefficients[0]!, fit.coefficients[1]!];
    const residual = left.map((v, i) => v - level - share * difference[i]!);
    const sd = Math.max(
      1e-4,
      robustSd(
        residual.filter((_, i) => finite[i]! > 0),
        0,
      ),
    );
    weights = finite.map((w, i) => (w > 0 ? w * huberWeight(residual[i]! / sd) : 0));
    fit = leastSquares([left.map(() => 1), difference], left, weights);
    if (fit !== undefined && pass === 3) {
      // Neighbours in time are not independent: some twenty samples are worth one.
      const shareSd = sd * Math.sqrt(20 * fit.covariance.values[3]!);
      return shareSd < 0.25 ? fit.coefficients[1]! : Number.NaN;
    }
  }
  return Number.NaN;
}
