import { addToSkyline, bandedProfile, copySkyline, emptySkyline, factorSkyline, logDeterminant, type Skyline } from "./skyline.ts";

/** How a smooth random field varies: standard deviation, and the distance along each axis over which it forgets itself. */
export interface FieldScale {
  readonly sd: number;
  readonly rangeX: number;
  /** Left out for a field on a line. */
  readonly rangeY?: number;
}

/** Precision matrix (inverse covariance) of a field at the nodes of a grid, with ln det. Node (row, column) is row · columns + column. */
export interface FieldPrecision {
  readonly matrix: Skyline;
  readonly logDet: number;
}

/**
 * Builds precision matrices of a smooth field on a rectangular grid for any scale; the parts that do not depend on the
 * scale are computed once.
 *
 * The field is the one whose operator 1 − ℓx² ∂²/∂x² − ℓy² ∂²/∂y², applied to it, leaves white noise: in the plane a
 * Matérn field of smoothness 1, on a line of smoothness 3/2. Taken to the grid with linear elements and lumped masses it
 * gives Q ∝ L·C⁻¹·L, a second-difference penalty in the axes' own units joined with a pull to zero: within the ranges
 * the second difference rules, beyond them the field forgets what it has seen and returns to zero, without an edge.
 *
 * @param x ascending, at least one value; @param y likewise, left out for a line
 * @source lindgren-2011 (from memory): link between Gaussian fields and Markov random fields
 */
export function fieldOnGrid(x: ArrayLike<number>, y: ArrayLike<number> = [0]): (scale: FieldScale) => FieldPrecision {
  const columns = x.length;
  const rows = y.length;
  const n = columns * rows;
  const alongX = lineElements(x);
  const alongY = lineElements(y);
  const mass = Float64Array.from({ length: n }, (_, k) => alongX.mass[k % columns]! * alongY.mass[Math.floor(k / columns)]!);
  let logMass = 0;
  for (const m of mass) logMass += Math.log(m);
  const narrow = emptySkyline(bandedProfile(n, rows > 1 ? columns : Math.min(1, columns - 1)));
  const wide = emptySkyline(bandedProfile(n, rows > 1 ? 2 * columns : Math.min(2, columns - 1)));

  return ({ sd, rangeX, rangeY }) => {
    const operator = copySkyline(narrow);
    const add = (i: number, j: number, value: number): void => addToSkyline(operator, i, j, value);
    for (let k = 0; k < n; k++) add(k, k, mass[k]!);
    for (let row = 0; row < rows; row++)
      for (let column = 0; column + 1 < columns; column++)
        stiffen(add, row * columns + column, row * columns + column + 1, (rangeX * rangeX * alongY.mass[row]!) / alongX.step[column]!);
    for (let row = 0; row + 1 < rows; row++)
      for (let column = 0; column < columns; column++)
        stiffen(add, row * columns + column, (row + 1) * columns + column, ((rangeY ?? 1) ** 2 * alongX.mass[column]!) / alongY.step[row]!);

    const isPlane = rows > 1 && columns > 1;
    const factor = isPlane ? 1 / (4 * Math.PI * rangeX * (rangeY ?? 1) * sd * sd) : 1 / (4 * (rows > 1 ? (rangeY ?? 1) : rangeX) * sd * sd);
    const matrix = squareOverMass(operator, mass, factor, copySkyline(wide));
    const operatorFactor = factorSkyline(operator);
    if (operatorFactor === undefined) throw new RangeError("the axes of a field must ascend and its ranges be above zero");
    return { matrix, logDet: n * Math.log(factor) + 2 * logDeterminant(operatorFactor) - logMass };
  };
}

function stiffen(add: (i: number, j: number, value: number) => void, i: number, j: number, value: number): void {
  add(i, i, value);
  add(j, j, value);
  add(i, j, -value);
}

/** Lumped mass of each node (half of the interval on either side) and length of each interval. A lone node has mass 1. */
function lineElements(at: ArrayLike<number>): { mass: Float64Array; step: Float64Array } {
  const n = at.length;
  const step = Float64Array.from({ length: Math.max(0, n - 1) }, (_, i) => at[i + 1]! - at[i]!);
  const mass = Float64Array.from({ length: n }, (_, i) => (n === 1 ? 1 : ((i > 0 ? step[i - 1]! : 0) + (i < n - 1 ? step[i]! : 0)) / 2));
  return { mass, step };
}

/** factor · L·C⁻¹·L for a symmetric L of narrow profile, into a matrix of the wide profile. */
function squareOverMass(operator: Skyline, mass: Float64Array, factor: number, into: Skyline): Skyline {
  const neighbours: { at: number; value: number }[][] = Array.from({ length: operator.n }, () => []);
  for (let i = 0; i < operator.n; i++)
    for (let j = operator.first[i]!; j <= i; j++) {
      const value = operator.values[operator.start[i]! + j - operator.first[i]!]!;
      if (value === 0) continue;
      neighbours[i]!.push({ at: j, value });
      if (i !== j) neighbours[j]!.push({ at: i, value });
    }
  for (let k = 0; k < operator.n; k++)
    for (const a of neighbours[k]!) for (const b of neighbours[k]!) if (b.at <= a.at) addToSkyline(into, a.at, b.at, (factor * a.value * b.value) / mass[k]!);
  return into;
}
