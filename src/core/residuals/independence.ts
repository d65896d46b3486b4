/**
 * Share of samples that count as independent, by the integrated autocorrelation of a weighted residual series:
 * n_eff/n = 1 / (1 + 2 Σ ρ_k), summed while ρ stays above a tenth. NaN and zero-weight samples break the series. What depends
 * on the operating point is taken out first (means of cells of speed and pressure): a wrong table is no noise.
 * @source formula-sheet; PH-21 (first-order form; the sum is its general form)
 */
export function effectiveShareOf(
  raw: Float64Array,
  weight: Float64Array,
  dtS: number,
  at: { readonly rpm: Float64Array; readonly mapKpa: Float64Array },
): number {
  const residual = withoutOperatingPoint(raw, weight, at);
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

const CELL_RPM = 200;
const CELL_KPA = 6;

function withoutOperatingPoint(residual: Float64Array, weight: Float64Array, at: { readonly rpm: Float64Array; readonly mapKpa: Float64Array }): Float64Array {
  const sums = new Map<number, { sum: number; count: number }>();
  const cellOf = (i: number): number => Math.round(at.rpm[i]! / CELL_RPM) * 1000 + (Number.isNaN(at.mapKpa[i]!) ? 0 : Math.round(at.mapKpa[i]! / CELL_KPA));
  for (let i = 0; i < residual.length; i++) {
    if (!(weight[i]! > 0.5) || Number.isNaN(residual[i]!)) continue;
    const cell = sums.get(cellOf(i)) ?? { sum: 0, count: 0 };
    sums.set(cellOf(i), { sum: cell.sum + residual[i]!, count: cell.count + 1 });
  }
  return residual.map((value, i) => {
    const cell = sums.get(cellOf(i));
    return cell === undefined || cell.count < 5 ? Number.NaN : value - cell.sum / cell.count;
  });
}
