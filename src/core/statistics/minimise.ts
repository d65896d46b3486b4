/** Place and value of a least found. */
export interface Minimum {
  readonly at: Float64Array;
  readonly value: number;
  readonly evaluations: number;
}

/** Least of a function of one number in [low, high] by golden section; the function should have one valley there. */
export function goldenSection(f: (x: number) => number, low: number, high: number, tolerance = 1e-4): { at: number; value: number } {
  const share = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [low, high];
  let [x1, x2] = [b - share * (b - a), a + share * (b - a)];
  let [f1, f2] = [f(x1), f(x2)];
  while (b - a > tolerance) {
    if (f1 <= f2) {
      [b, x2, f2] = [x2, x1, f1];
      x1 = b - share * (b - a);
      f1 = f(x1);
    } else {
      [a, x1, f1] = [x1, x2, f2];
      x2 = a + share * (b - a);
      f2 = f(x2);
    }
  }
  return f1 <= f2 ? { at: x1, value: f1 } : { at: x2, value: f2 };
}

/**
 * Least of a function of a few numbers by the downhill simplex, started from `from` with one step along each axis.
 * A value that is not finite counts as infinitely high, so that bounds may be set by returning Infinity.
 *
 * @source nelder-mead-1965 (from memory)
 */
export function nelderMead(
  f: (x: Float64Array) => number,
  from: ArrayLike<number>,
  steps: ArrayLike<number>,
  options: { readonly tolerance?: number; readonly evaluations?: number } = {},
): Minimum {
  const { tolerance = 1e-4, evaluations: most = 200 * from.length } = options;
  const n = from.length;
  let used = 0;
  const at = (x: Float64Array): { x: Float64Array; value: number } => {
    used++;
    const value = f(x);
    return { x, value: Number.isFinite(value) ? value : Number.POSITIVE_INFINITY };
  };
  const simplex = Array.from({ length: n + 1 }, (_, i) => {
    const x = Float64Array.from(from);
    if (i > 0) x[i - 1] = x[i - 1]! + steps[i - 1]!;
    return at(x);
  });
  const between = (a: Float64Array, b: Float64Array, share: number): Float64Array => a.map((v, i) => v + share * (b[i]! - v));
  for (;;) {
    simplex.sort((a, b) => a.value - b.value);
    const best = simplex[0]!;
    const worst = simplex[n]!;
    if (used >= most || (worst.value - best.value <= tolerance && spread(simplex) <= 1e-3)) return { at: best.x, value: best.value, evaluations: used };
    const centroid = new Float64Array(n);
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) centroid[j] = centroid[j]! + simplex[i]!.x[j]! / n;
    const reflected = at(between(centroid, worst.x, -1));
    if (reflected.value < best.value) {
      const expanded = at(between(centroid, worst.x, -2));
      simplex[n] = expanded.value < reflected.value ? expanded : reflected;
    } else if (reflected.value < simplex[n - 1]!.value) {
      simplex[n] = reflected;
    } else {
      const inward = reflected.value < worst.value ? at(between(centroid, worst.x, -0.5)) : at(between(centroid, worst.x, 0.5));
      if (inward.value < Math.min(reflected.value, worst.value)) simplex[n] = inward;
      else for (let i = 1; i <= n; i++) simplex[i] = at(between(best.x, simplex[i]!.x, 0.5));
    }
  }
}

function spread(simplex: readonly { readonly x: Float64Array }[]): number {
  let widest = 0;
  for (const corner of simplex) for (let j = 0; j < corner.x.length; j++) widest = Math.max(widest, Math.abs(corner.x[j]! - simplex[0]!.x[j]!));
  return widest;
}
