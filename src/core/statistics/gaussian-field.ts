import { addToSkyline, bandedProfile, copySkyline, emptySkyline, factorSkyline, logDeterminant, type Skyline, skylineIndex } from "./skyline.ts";

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
  const stiffX = copySkyline(narrow);
  const stiffY = copySkyline(narrow);
  for (let row = 0; row < rows; row++)
    for (let column = 0; column + 1 < columns; column++)
      stiffen(stiffX, row * columns + column, row * columns + column + 1, alongY.mass[row]! / alongX.step[column]!);
  for (let row = 0; row + 1 < rows; row++)
    for (let column = 0; column < columns; column++)
      stiffen(stiffY, row * columns + column, (row + 1) * columns + column, alongX.mass[column]! / alongY.step[row]!);
  const products = productsOf(
    narrow,
    wide,
    (i, j) => i === j || stiffX.values[skylineIndex(narrow, i, j)] !== 0 || stiffY.values[skylineIndex(narrow, i, j)] !== 0,
  );

  return ({ sd, rangeX, rangeY = 1 }) => {
    const values = stiffX.values.map((x, at) => rangeX * rangeX * x + rangeY * rangeY * stiffY.values[at]!);
    for (let k = 0; k < n; k++) values[narrow.start[k + 1]! - 1] = values[narrow.start[k + 1]! - 1]! + mass[k]!;
    const isPlane = rows > 1 && columns > 1;
    const factor = isPlane ? 1 / (4 * Math.PI * rangeX * rangeY * sd * sd) : 1 / (4 * (rows > 1 ? rangeY : rangeX) * sd * sd);
    const matrix = copySkyline(wide);
    const { node, left, right, into } = products;
    for (let p = 0; p < node.length; p++)
      matrix.values[into[p]!] = matrix.values[into[p]!]! + (factor * values[left[p]!]! * values[right[p]!]!) / mass[node[p]!]!;
    const operatorFactor = factorSkyline({ ...narrow, values });
    if (operatorFactor === undefined) throw new RangeError("the axes of a field must ascend and its ranges be above zero");
    return { matrix, logDet: n * Math.log(factor) + 2 * logDeterminant(operatorFactor) - logMass };
  };
}

function stiffen(matrix: Skyline, i: number, j: number, value: number): void {
  addToSkyline(matrix, i, i, value);
  addToSkyline(matrix, j, j, value);
  addToSkyline(matrix, i, j, -value);
}

/** Which products of elements of L make up L·C⁻¹·L: element `into` gets `left` · `right` / mass of `node`. Found once, used for every scale. */
function productsOf(narrow: Skyline, wide: Skyline, isUsed: (i: number, j: number) => boolean): Record<"node" | "left" | "right" | "into", Int32Array> {
  const neighbours: { readonly at: number; readonly place: number }[][] = Array.from({ length: narrow.n }, () => []);
  for (let i = 0; i < narrow.n; i++)
    for (let j = narrow.first[i]!; j <= i; j++) {
      if (!isUsed(i, j)) continue;
      const place = skylineIndex(narrow, i, j);
      neighbours[i]!.push({ at: j, place });
      if (i !== j) neighbours[j]!.push({ at: i, place });
    }
  const node: number[] = [];
  const left: number[] = [];
  const right: number[] = [];
  const into: number[] = [];
  neighbours.forEach((around, k) => {
    for (const a of around)
      for (const b of around) {
        if (b.at > a.at) continue;
        node.push(k);
        left.push(a.place);
        right.push(b.place);
        into.push(skylineIndex(wide, a.at, b.at));
      }
  });
  return { node: Int32Array.from(node), left: Int32Array.from(left), right: Int32Array.from(right), into: Int32Array.from(into) };
}

/** Lumped mass of each node (half of the interval on either side) and length of each interval. A lone node has mass 1. */
function lineElements(at: ArrayLike<number>): { mass: Float64Array; step: Float64Array } {
  const n = at.length;
  const step = Float64Array.from({ length: Math.max(0, n - 1) }, (_, i) => at[i + 1]! - at[i]!);
  const mass = Float64Array.from({ length: n }, (_, i) => (n === 1 ? 1 : ((i > 0 ? step[i - 1]! : 0) + (i < n - 1 ? step[i]! : 0)) / 2));
  return { mass, step };
}
