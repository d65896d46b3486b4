/**
 * How many samples of a series one independent sample is worth: 1 + 2 Σ ρ_k, never below 1.
 *
 * The sum stops where the correlations, taken in pairs, first fall to zero (initial positive sequence). NaN breaks the
 * series: pairs with a gap are left out, so a masked series may be given as it is.
 *
 * @param values  shape (n), evenly spaced
 * @param longest largest lag looked at, in samples
 * @source geyer-1992 (from memory): initial positive sequence; for a first-order process it tends to (1 + r)/(1 − r), PH-21
 */
export function samplesPerIndependent(values: ArrayLike<number>, longest = 400): number {
  const { centred, n, variance } = centre(values);
  if (n < 3 || !(variance > 0)) return 1;
  let sum = 1;
  for (let lag = 1; lag + 1 <= Math.min(longest, centred.length - 2); lag += 2) {
    const pair = correlationAt(centred, lag, variance) + correlationAt(centred, lag + 1, variance);
    if (!(pair > 0)) break;
    sum += 2 * pair;
  }
  return Math.max(1, sum);
}

/** Autocorrelation of a series at one lag; NaN breaks the series; NaN when no pair is left. */
export function autocorrelation(values: ArrayLike<number>, lag: number): number {
  const { centred, variance } = centre(values);
  return correlationAt(centred, lag, variance);
}

/**
 * Independent samples among n of a first-order process, n (1 − r)/(1 + r).
 * @source PH-21 of the formula sheet (from memory)
 */
export function effectiveSamplesOfFirstOrder(n: number, correlation: number): number {
  return (n * (1 - correlation)) / (1 + correlation);
}

/** Correlation time of a first-order process, −Δt / ln r [unit of Δt]. @source PH-21 of the formula sheet (from memory) */
export function correlationTime(spacing: number, correlation: number): number {
  return -spacing / Math.log(correlation);
}

function centre(values: ArrayLike<number>): { centred: Float64Array; n: number; variance: number } {
  let n = 0;
  let sum = 0;
  for (let i = 0; i < values.length; i++) {
    if (Number.isNaN(values[i]!)) continue;
    n++;
    sum += values[i]!;
  }
  const mean = sum / n;
  const centred = new Float64Array(values.length);
  for (let i = 0; i < centred.length; i++) centred[i] = values[i]! - mean;
  let squares = 0;
  for (const v of centred) if (!Number.isNaN(v)) squares += v * v;
  return { centred, n, variance: squares / n };
}

function correlationAt(centred: Float64Array, lag: number, variance: number): number {
  let sum = 0;
  let pairs = 0;
  for (let i = lag; i < centred.length; i++) {
    const product = centred[i]! * centred[i - lag]!;
    if (Number.isNaN(product)) continue;
    sum += product;
    pairs++;
  }
  return pairs === 0 ? Number.NaN : sum / pairs / variance;
}
