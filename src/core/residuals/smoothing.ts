/** Mean over a window of ± halfWidth samples, NaN left out; NaN where the window holds none. Shape (n). */
export function movingMean(values: Float64Array, halfWidth: number): Float64Array {
  const n = values.length;
  const means = new Float64Array(n);
  let sum = 0;
  let count = 0;
  for (let i = 0, entered = 0; i < n; i++) {
    for (; entered < n && entered <= i + halfWidth; entered++) {
      const value = values[entered]!;
      if (Number.isNaN(value)) continue;
      sum += value;
      count++;
    }
    const left = i - halfWidth - 1;
    if (left >= 0 && !Number.isNaN(values[left]!)) {
      sum -= values[left]!;
      count--;
    }
    // What rounding has gathered does not outlive a gap.
    if (count === 0) sum = 0;
    means[i] = count === 0 ? Number.NaN : sum / count;
  }
  return means;
}

/** Rate of change per second from the means of the windows just before and just after each sample. Shape (n). */
export function ratePerS(values: Float64Array, dtS: number, windowS: number): Float64Array {
  const half = Math.max(1, Math.round(windowS / dtS / 2));
  const smooth = movingMean(values, Math.max(0, Math.floor(half / 2)));
  const n = values.length;
  const rates = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const from = Math.max(0, i - half);
    const to = Math.min(n - 1, i + half);
    rates[i] = to === from ? Number.NaN : (smooth[to]! - smooth[from]!) / ((to - from) * dtS);
  }
  return rates;
}

/** First-order lag, exact for a held input over each step; NaN passes the last state on. Shape (n). */
export function firstOrderLag(values: Float64Array, lagS: number, dtS: number): Float64Array {
  const keep = lagS > 0 ? Math.exp(-dtS / lagS) : 0;
  let state = Number.NaN;
  return values.map((value) => {
    if (Number.isNaN(state)) state = value;
    else if (!Number.isNaN(value)) state = keep * state + (1 - keep) * value;
    return state;
  });
}

/** Value at a fractional index by linear interpolation; NaN outside or beside a NaN. */
export function atFraction(values: Float64Array, position: number): number {
  const low = Math.floor(position);
  if (low < 0 || low >= values.length) return Number.NaN;
  const share = position - low;
  if (share === 0) return values[low]!;
  return low + 1 < values.length ? values[low]! * (1 - share) + values[low + 1]! * share : Number.NaN;
}

/** Largest value within ± halfWidth samples (before, after given apart); NaN counts as the given stand-in. Shape (n). */
export function windowMaximum(values: Float64Array, before: number, after: number, standIn: number): Float64Array {
  const n = values.length;
  const result = new Float64Array(n);
  const queue = new Int32Array(n);
  let head = 0;
  let tail = 0;
  let next = 0;
  const value = (i: number): number => (Number.isNaN(values[i]!) ? standIn : values[i]!);
  for (let i = 0; i < n; i++) {
    while (next < n && next <= i + after) {
      while (tail > head && value(queue[tail - 1]!) <= value(next)) tail--;
      queue[tail++] = next++;
    }
    while (queue[head]! < i - before) head++;
    result[i] = value(queue[head]!);
  }
  return result;
}
