import { clamp } from "../../../base/index.ts";
import { cubicWeights } from "../../statistics/index.ts";
import { columnsOf, lookUp, lookUpCurve, type Table } from "../../tables/index.ts";

/** Sparse rows of a linear model: row i has `width` unknowns and coefficients from `i · width` on; unused coefficients are zero. */
export interface SparseRows {
  readonly width: number;
  readonly unknowns: Int32Array;
  readonly coefficients: Float64Array;
}

/**
 * How the logarithm of an engine's own smooth surface at each sample depends on its values at the breakpoints, and by
 * how much the controller's straight lines between the breakpoints of the table as received miss the smooth reading of that
 * same table.
 *
 * Cells are the engine's values at the breakpoints. Between them the engine bends and the controller does not: with
 * breakpoints 500 rpm apart an idle at 700 rpm lies several percent above the straight line. Reading the residual as if
 * it lay on the line would put that bend into both neighbouring cells.
 */
export interface SurfaceRows extends SparseRows {
  /** Shape (n): ln(controller's look-up) − smooth reading of the same table in ln. Added to a residual it becomes a sum of cell corrections. NaN far outside the axes. */
  readonly bendLn: Float64Array;
}

/**
 * How far beyond the ends of an axis a sample still speaks for the cells at the end, as a share of the last interval. The controller holds the end there
 * while the engine goes on: an overrun at 14 kPa needs a fifth less air than the row of 20 kPa says, and that row is right. Filling changes slowly with speed.
 * Common practice, no published source.
 */
const BESIDE = 0.15;
const SPEED_BESIDE = 0.5;

/** Not known, or too far beyond an end of the axis to tell of its cells. */
function isFarOutside(axis: Float64Array, value: number, share: number): boolean {
  const last = axis.length - 1;
  if (last < 1) return Number.isNaN(value);
  return !(value >= axis[0]! - share * (axis[1]! - axis[0]!) && value <= axis[last]! + share * (axis[last]! - axis[last - 1]!));
}

/**
 * Rows for a table over engine speed (x) and manifold pressure (y). What is read smoothly is the table times pressure: the
 * air of a cylinder is nearly a straight line over pressure, filling itself is not.
 */
export function gridRows(table: Table, x: Float64Array, y: Float64Array): SurfaceRows {
  const xs = table.x!.values;
  const ys = table.y!.values;
  const lnXs = logAxis(xs);
  const columns = columnsOf(table);
  const cells = table.cells;
  const width = 16;
  const n = x.length;
  const unknowns = new Int32Array(n * width);
  const coefficients = new Float64Array(n * width);
  const bendLn = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    if (isFarOutside(xs, x[i]!, SPEED_BESIDE) || isFarOutside(ys, y[i]!, BESIDE)) {
      bendLn[i] = Number.NaN;
      continue;
    }
    const alongX = cubicWeights(lnXs, onLogAxis(xs, x[i]!));
    const alongY = cubicWeights(ys, y[i]!);
    let smooth = 0;
    for (let row = 0; row < 4; row++)
      for (let column = 0; column < 4; column++) {
        const weight = alongX.weights[column]! * alongY.weights[row]!;
        if (weight === 0) continue;
        const cell = (alongY.first + row) * columns + alongX.first + column;
        const at = i * width + row * 4 + column;
        unknowns[at] = cell;
        coefficients[at] = weight;
        smooth += weight * cells[cell]! * ys[alongY.first + row]!;
      }
    bendLn[i] = Math.log(lookUp(table, x[i]!, y[i]!)) - Math.log(smooth / held(ys, y[i]!));
  }
  return { width, unknowns, coefficients, bendLn };
}

/** Rows for a meter's curve over frequency, read in logarithms of both: a meter's law is nearly a power of its frequency. */
export function curveRows(table: Table, x: Float64Array): SurfaceRows {
  const xs = table.x!.values;
  const lnX = logAxis(xs);
  const lnCells = logCells(table);
  const width = 4;
  const n = x.length;
  const unknowns = new Int32Array(n * width);
  const coefficients = new Float64Array(n * width);
  const bendLn = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    if (isFarOutside(xs, x[i]!, BESIDE)) {
      bendLn[i] = Number.NaN;
      continue;
    }
    const { first, weights } = cubicWeights(lnX, onLogAxis(xs, x[i]!));
    let smooth = 0;
    for (let k = 0; k < 4; k++) {
      const weight = weights[k]!;
      if (weight === 0) continue;
      unknowns[i * width + k] = first + k;
      coefficients[i * width + k] = weight;
      smooth += weight * lnCells[first + k]!;
    }
    bendLn[i] = Math.log(lookUpCurve(table, x[i]!)) - smooth;
  }
  return { width, unknowns, coefficients, bendLn };
}

/** An axis by its logarithm; one that begins at zero stays as it is. */
function logAxis(axis: Float64Array): Float64Array {
  return axis[0]! > 0 ? axis.map(Math.log) : axis;
}

function onLogAxis(axis: Float64Array, value: number): number {
  return axis[0]! > 0 ? Math.log(Math.max(value, axis[0]!)) : value;
}

/** The value within the axis: look-ups hold their ends. */
function held(axis: Float64Array, value: number): number {
  return clamp(value, axis[0]!, axis[axis.length - 1]!);
}

function logCells(table: Table): Float64Array {
  const positive = table.cells.filter((value) => value > 0);
  const least = positive.length === 0 ? 1 : positive.reduce((a, b) => Math.min(a, b));
  return table.cells.map((value) => Math.log(value > 0 ? value : least));
}

/** Σ coefficient · value over one row. */
export function rowTimes(rows: SparseRows, i: number, values: ArrayLike<number>, offset = 0): number {
  let sum = 0;
  for (let at = i * rows.width; at < (i + 1) * rows.width; at++) {
    const coefficient = rows.coefficients[at]!;
    if (coefficient !== 0) sum += coefficient * values[offset + rows.unknowns[at]!]!;
  }
  return sum;
}
