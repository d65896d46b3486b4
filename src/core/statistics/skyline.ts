/**
 * A symmetric matrix kept by rows from the first stored column to the diagonal: row i holds columns `first[i]` … i in
 * `values[start[i]]` … `values[start[i + 1] − 1]`. A band and a band with a dense border are both special cases, and a
 * Cholesky factor needs no more room than the matrix itself.
 */
export interface Skyline {
  readonly n: number;
  readonly first: Int32Array;
  readonly start: Int32Array;
  readonly values: Float64Array;
}

/** An all-zero matrix with the given first columns. @throws RangeError when a first column lies right of the diagonal. */
export function emptySkyline(first: ArrayLike<number>): Skyline {
  const n = first.length;
  const start = new Int32Array(n + 1);
  for (let i = 0; i < n; i++) {
    const column = first[i]!;
    if (column < 0 || column > i) throw new RangeError(`row ${i} cannot start in column ${column}`);
    start[i + 1] = start[i]! + (i - column + 1);
  }
  return { n, first: Int32Array.from(first), start, values: new Float64Array(start[n]!) };
}

/** First columns of a band of so many sub-diagonals, followed by `border` rows that reach to column zero. */
export function bandedProfile(n: number, subDiagonals: number, border = 0): Int32Array {
  return Int32Array.from({ length: n + border }, (_, i) => (i < n ? Math.max(0, i - subDiagonals) : 0));
}

/** The same profile with copied values. */
export function copySkyline(matrix: Skyline): Skyline {
  return { ...matrix, values: Float64Array.from(matrix.values) };
}

/** Place of (row, column) in `values`, either way round. @throws RangeError outside the profile. */
export function skylineIndex(matrix: Skyline, row: number, column: number): number {
  const i = Math.max(row, column);
  const j = Math.min(row, column);
  const offset = j - matrix.first[i]!;
  if (!(offset >= 0)) throw new RangeError(`(${row}, ${column}) lies outside the profile`);
  return matrix.start[i]! + offset;
}

/** Adds to one element of a symmetric matrix (both halves are the same store). */
export function addToSkyline(matrix: Skyline, row: number, column: number, value: number): void {
  const at = skylineIndex(matrix, row, column);
  matrix.values[at] = matrix.values[at]! + value;
}

/** Matrix times vector. */
export function skylineTimes(matrix: Skyline, vector: ArrayLike<number>): Float64Array {
  const { n, first, start, values } = matrix;
  const product = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const from = first[i]!;
    const base = start[i]! - from;
    const own = vector[i]!;
    let sum = values[base + i]! * own;
    for (let j = from; j < i; j++) {
      const value = values[base + j]!;
      sum += value * vector[j]!;
      product[j] = product[j]! + value * own;
    }
    product[i] = product[i]! + sum;
  }
  return product;
}

/**
 * Cholesky factor L with A = L·Lᵀ, in the profile of A. Rows are taken two at a time: both want the same rows above, which are then read once.
 *
 * @returns undefined when A is not positive definite to working precision
 * @source golub-vanloan (from memory): Cholesky factorisation, envelope form
 */
export function factorSkyline(matrix: Skyline): Skyline | undefined {
  const { n, first } = matrix;
  const factor = copySkyline(matrix);
  for (let i = 0; i < n; i += 2) {
    const next = i + 1;
    const shared = next < n ? Math.min(i, Math.max(first[i]!, first[next]!)) : i;
    reduceRow(factor, i, first[i]!, shared);
    if (next < n) {
      reduceRow(factor, next, first[next]!, shared);
      reduceTwoRows(factor, i, shared);
    }
    if (!closeRow(factor, i)) return undefined;
    if (next === n) break;
    reduceRow(factor, next, Math.max(shared, first[next]!, i), next);
    if (!closeRow(factor, next)) return undefined;
  }
  return factor;
}

/** Elements of row i of the factor in columns [from, to), the rows above being done. */
function reduceRow({ first, start, values }: Skyline, i: number, from: number, to: number): void {
  const base = start[i]! - first[i]!;
  for (let j = from; j < to; j++) {
    const baseJ = start[j]! - first[j]!;
    const begin = Math.max(first[i]!, first[j]!);
    values[base + j] = (values[base + j]! - dot(values, base + begin, baseJ + begin, j - begin)) / values[baseJ + j]!;
  }
}

/** The same for rows i and i + 1 at once in columns [from, i); both rows must reach `from`. */
function reduceTwoRows({ first, start, values }: Skyline, i: number, from: number): void {
  const [firstA, firstB] = [first[i]!, first[i + 1]!];
  const baseA = start[i]! - firstA;
  const baseB = start[i + 1]! - firstB;
  for (let j = from; j < i; j++) {
    const firstJ = first[j]!;
    const baseJ = start[j]! - firstJ;
    const begin = Math.max(from, firstJ);
    const beginA = Math.max(firstA, firstJ);
    const beginB = Math.max(firstB, firstJ);
    let a = dot(values, baseA + beginA, baseJ + beginA, begin - beginA);
    let b = dot(values, baseB + beginB, baseJ + beginB, begin - beginB);
    // Odd and even columns are summed apart: an addition need not wait for the one before it.
    let [oddA, oddB] = [0, 0];
    let k = begin;
    for (; k + 1 < j; k += 2) {
      const above = values[baseJ + k]!;
      const odd = values[baseJ + k + 1]!;
      a += values[baseA + k]! * above;
      b += values[baseB + k]! * above;
      oddA += values[baseA + k + 1]! * odd;
      oddB += values[baseB + k + 1]! * odd;
    }
    if (k < j) {
      a += values[baseA + k]! * values[baseJ + k]!;
      b += values[baseB + k]! * values[baseJ + k]!;
    }
    const pivot = values[baseJ + j]!;
    values[baseA + j] = (values[baseA + j]! - a - oddA) / pivot;
    values[baseB + j] = (values[baseB + j]! - b - oddB) / pivot;
  }
}

/** Diagonal of row i of the factor. @returns false when nothing but rounding is left of it */
function closeRow({ first, start, values }: Skyline, i: number): boolean {
  const end = start[i + 1]! - 1;
  const size = values[end]!;
  const left = size - dot(values, start[i]!, start[i]!, i - first[i]!);
  // A diagonal that loses all but its last digits is rounding noise, not a number to divide by.
  if (!(left > size * 1e-14)) return false;
  values[end] = Math.sqrt(left);
  return true;
}

/** Σ values[a + k] · values[b + k] over `length` entries. */
function dot(values: Float64Array, a: number, b: number, length: number): number {
  let sum = 0;
  for (let k = 0; k < length; k++) sum += values[a + k]! * values[b + k]!;
  return sum;
}

/** Solves L·Lᵀ·x = b. */
export function solveSkyline(factor: Skyline, rightSide: ArrayLike<number>): Float64Array {
  const { n, first, start, values } = factor;
  const x = Float64Array.from(rightSide);
  for (let i = 0; i < n; i++) {
    const from = first[i]!;
    const base = start[i]! - from;
    let sum = x[i]!;
    for (let k = from; k < i; k++) sum -= values[base + k]! * x[k]!;
    x[i] = sum / values[base + i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    const from = first[i]!;
    const base = start[i]! - from;
    const value = x[i]! / values[base + i]!;
    x[i] = value;
    for (let k = from; k < i; k++) x[k] = x[k]! - values[base + k]! * value;
  }
  return x;
}

/** ln det A from its factor. */
export function logDeterminant(factor: Skyline): number {
  let sum = 0;
  for (let i = 0; i < factor.n; i++) sum += Math.log(factor.values[factor.start[i + 1]! - 1]!);
  return 2 * sum;
}

/**
 * The elements of A⁻¹ that lie in the profile of A, without forming the rest.
 *
 * Backward recursion on A⁻¹·L = L⁻ᵀ: every element needed lies in the profile as well, because two rows that both reach
 * column j also reach each other's column.
 *
 * @source takahashi-1973 (from memory); erisman-tinney-1975 (from memory)
 */
export function inverseInProfile(factor: Skyline): Skyline {
  const { n, first, start, values } = factor;
  const inverse = new Float64Array(values.length);
  const rowsBelow = rowsReaching(factor);
  const column = new Float64Array(n);
  const sums = new Float64Array(n);
  for (let j = n - 1; j >= 0; j--) {
    const rows = rowsBelow[j]!;
    const pivot = values[start[j + 1]! - 1]!;
    for (const k of rows) {
      column[k] = values[start[k]! + j - first[k]!]! / pivot;
      sums[k] = 0;
    }
    // Every element of the part already inverted serves two sums, its own row's and its column's.
    for (let at = 0; at < rows.length; at++) {
      const i = rows[at]!;
      const base = start[i]! - first[i]!;
      const own = column[i]!;
      let sum = sums[i]! + own * inverse[base + i]!;
      for (let before = 0; before < at; before++) {
        const k = rows[before]!;
        const element = inverse[base + k]!;
        sum += column[k]! * element;
        sums[k] = sums[k]! + own * element;
      }
      sums[i] = sum;
    }
    let diagonal = 1 / (pivot * pivot);
    for (const i of rows) {
      inverse[start[i]! + j - first[i]!] = -sums[i]!;
      diagonal += column[i]! * sums[i]!;
    }
    inverse[start[j + 1]! - 1] = diagonal;
  }
  return { ...factor, values: inverse };
}

/** Diagonal of A⁻¹: variances when A is a precision matrix. */
export function inverseDiagonal(factor: Skyline): Float64Array {
  const inverse = inverseInProfile(factor);
  return Float64Array.from({ length: factor.n }, (_, i) => inverse.values[inverse.start[i + 1]! - 1]!);
}

/** For each column the rows strictly below that reach it, ascending. */
function rowsReaching(matrix: Skyline): Int32Array[] {
  const lists: number[][] = Array.from({ length: matrix.n }, () => []);
  for (let i = 0; i < matrix.n; i++) for (let j = matrix.first[i]!; j < i; j++) lists[j]!.push(i);
  return lists.map((rows) => Int32Array.from(rows));
}
