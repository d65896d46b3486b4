/** Independent samples in a series of first-order autocorrelation [count]: n (1 − r)/(1 + r). @source time-series-textbooks (from memory); PH-21a */
export function effectiveSamples(samples: number, lagOneCorrelation: number): number {
  return (samples * (1 - lagOneCorrelation)) / (1 + lagOneCorrelation);
}

/** Correlation time of such a series [s]: −Δt / ln r. @source time-series-textbooks (from memory); PH-21b */
export function correlationTimeS(stepS: number, lagOneCorrelation: number): number {
  return -stepS / Math.log(lagOneCorrelation);
}
