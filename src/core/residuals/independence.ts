/**
 * Share of samples that count as independent, by the integrated autocorrelation of a weighted residual series:
 * n_eff/n = 1 / (1 + 2 Σ ρ_k), summed while ρ stays above a tenth. NaN and zero-weight samples break the series.
 * @source physics-sheet PH-21 (first-order form; the sum is its general form)
 */
export function effectiveShareOf(residual: Float64Array, weight: Float64Array, dtS: number): number {
  const longest = Math.round(20 / dtS);
  let sum = 0;
  let count = 0;
  for (let i = 0; i < residual.length; i++) {
    if (!(weight[i]! > 0.5) || Number.isNaN(residual[i]!)) continue;
    sum += residual[i]!;
    count++;
  }
  if (count < 50) return 0.05;
  const centre = sum / count;
  const covariance = (lag: number): number => {
    let total = 0;
    let pairs = 0;
    for (let i = lag; i < residual.length; i++) {
      const a = residual[i]!;
      const b = residual[i - lag]!;
      if (!(weight[i]! > 0.5) || !(weight[i - lag]! > 0.5) || Number.isNaN(a) || Number.isNaN(b)) continue;
      total += (a - centre) * (b - centre);
      pairs++;
    }
    return pairs < 20 ? Number.NaN : total / pairs;
  };
  const variance = covariance(0);
  if (!(variance > 0)) return 1;
  let correlationSum = 0;
  for (let lag = 1; lag <= longest; lag++) {
    const rho = covariance(lag) / variance;
    if (!(rho > 0.1)) break;
    correlationSum += rho;
  }
  return Math.min(1, 1 / (1 + 2 * correlationSum));
}
