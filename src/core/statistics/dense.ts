/** Row-major square matrix of order n: element (i, j) is `values[i * n + j]`. */
export interface Square {
  readonly n: number;
  readonly values: Float64Array;
}

/** Lower Cholesky factor of a symmetric positive definite matrix; undefined when it is not. Only the lower half is read. */
export function factorDense(matrix: Square): Square | undefined {
  const { n } = matrix;
  const values = Float64Array.from(matrix.values);
  for (let i = 0; i < n; i++) {
    const row = i * n;
    const size = values[row + i]!;
    for (let j = 0; j < i; j++) {
      const rowJ = j * n;
      let sum = values[row + j]!;
      for (let k = 0; k < j; k++) sum -= values[row + k]! * values[rowJ + k]!;
      values[row + j] = sum / values[rowJ + j]!;
    }
    let diagonal = size;
    for (let k = 0; k < i; k++) diagonal -= values[row + k]! * values[row + k]!;
    if (!(diagonal > size * 1e-14)) return undefined;
    values[row + i] = Math.sqrt(diagonal);
    values.fill(0, row + i + 1, row + n);
  }
  return { n, values };
}

/** Solves L·Lᵀ·x = b. */
export function solveDense(factor: Square, rightSide: ArrayLike<number>): Float64Array {
  const { n, values } = factor;
  const x = Float64Array.from(rightSide);
  for (let i = 0; i < n; i++) {
    let sum = x[i]!;
    for (let k = 0; k < i; k++) sum -= values[i * n + k]! * x[k]!;
    x[i] = sum / values[i * n + i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = x[i]!;
    for (let k = i + 1; k < n; k++) sum -= values[k * n + i]! * x[k]!;
    x[i] = sum / values[i * n + i]!;
  }
  return x;
}

/** A⁻¹ from its factor, whole and symmetric. */
export function inverseDense(factor: Square): Square {
  const { n } = factor;
  const values = new Float64Array(n * n);
  const unit = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    unit.fill(0);
    unit[j] = 1;
    const column = solveDense(factor, unit);
    for (let i = 0; i < n; i++) values[i * n + j] = column[i]!;
  }
  return { n, values };
}

/** ln det A from its factor. */
export function logDeterminantDense(factor: Square): number {
  let sum = 0;
  for (let i = 0; i < factor.n; i++) sum += Math.log(factor.values[i * factor.n + i]!);
  return 2 * sum;
}

/** Weighted least squares with few unknowns: coefficients and their covariance for unit noise. */
export interface LeastSquares {
  readonly coefficients: Float64Array;
  readonly covariance: Square;
  /** Weighted sum of squared residuals. */
  readonly residualSquares: number;
}

/**
 * Weighted linear least squares by normal equations with columns scaled to unit size, and one step of refinement.
 *
 * @param columns  k arrays of shape (n)
 * @param weights  shape (n); a row with a NaN or a weight that is not above zero is left out
 * @param ridge    optional prior precision per coefficient, pulling it to zero
 * @returns undefined when the columns are dependent
 */
export function leastSquares(
  columns: readonly ArrayLike<number>[],
  observed: ArrayLike<number>,
  weights?: ArrayLike<number>,
  ridge?: ArrayLike<number>,
): LeastSquares | undefined {
  const k = columns.length;
  const n = observed.length;
  const used = usableRows(columns, observed, weights);
  const scale = columns.map((column) => {
    let sum = 0;
    for (const i of used) sum += column[i]! * column[i]! * (weights?.[i] ?? 1);
    return sum > 0 ? 1 / Math.sqrt(sum) : 1;
  });
  const values = new Float64Array(k * k);
  for (let a = 0; a < k; a++)
    for (let b = 0; b <= a; b++) {
      let sum = a === b ? (ridge?.[a] ?? 0) * scale[a]! * scale[a]! : 0;
      for (const i of used) sum += columns[a]![i]! * columns[b]![i]! * (weights?.[i] ?? 1) * scale[a]! * scale[b]!;
      values[a * k + b] = sum;
      values[b * k + a] = sum;
    }
  const factor = factorDense({ n: k, values });
  if (factor === undefined || used.length === 0) return undefined;
  const coefficients = new Float64Array(k);
  const residuals = Float64Array.from({ length: n }, (_, i) => observed[i]!);
  for (let pass = 0; pass < 2; pass++) {
    const right = Float64Array.from(columns, (column, a) => {
      let sum = -(ridge?.[a] ?? 0) * coefficients[a]! * scale[a]!;
      for (const i of used) sum += column[i]! * residuals[i]! * (weights?.[i] ?? 1) * scale[a]!;
      return sum;
    });
    const step = solveDense(factor, right);
    for (let a = 0; a < k; a++) coefficients[a] = coefficients[a]! + step[a]! * scale[a]!;
    for (const i of used) {
      let fitted = 0;
      for (let a = 0; a < k; a++) fitted += columns[a]![i]! * coefficients[a]!;
      residuals[i] = observed[i]! - fitted;
    }
  }
  let residualSquares = 0;
  for (const i of used) residualSquares += residuals[i]! * residuals[i]! * (weights?.[i] ?? 1);
  const inverse = inverseDense(factor);
  for (let a = 0; a < k; a++) for (let b = 0; b < k; b++) inverse.values[a * k + b] = inverse.values[a * k + b]! * scale[a]! * scale[b]!;
  return { coefficients, covariance: inverse, residualSquares };
}

function usableRows(columns: readonly ArrayLike<number>[], observed: ArrayLike<number>, weights?: ArrayLike<number>): Int32Array {
  const rows: number[] = [];
  for (let i = 0; i < observed.length; i++) {
    if (Number.isNaN(observed[i]!) || !((weights?.[i] ?? 1) > 0)) continue;
    if (columns.every((column) => !Number.isNaN(column[i]!))) rows.push(i);
  }
  return Int32Array.from(rows);
}
