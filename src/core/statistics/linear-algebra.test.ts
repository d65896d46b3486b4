import { CholeskyDecomposition, determinant, inverse as inverseOf, Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { seededRandom } from "../../base/index.ts";
import {
  addToSkyline,
  bandedProfile,
  emptySkyline,
  factorDense,
  factorSkyline,
  inverseDense,
  inverseDiagonal,
  inverseInProfile,
  leastSquares,
  logDeterminant,
  logDeterminantDense,
  type Skyline,
  skylineTimes,
  solveDense,
  solveSkyline,
} from "./index.ts";

/** A well-conditioned random matrix in a profile: band, and a dense border. */
function randomSkyline(n: number, band: number, border: number, seed: number): Skyline {
  const random = seededRandom(seed);
  const matrix = emptySkyline(bandedProfile(n, band, border));
  const size = n + border;
  for (let i = 0; i < size; i++) {
    for (let j = matrix.first[i]!; j < i; j++) addToSkyline(matrix, i, j, random.normal() * 0.3);
    addToSkyline(matrix, i, i, 2 + size * 0.3);
  }
  return matrix;
}

function full(matrix: Skyline): Matrix {
  const dense = Matrix.zeros(matrix.n, matrix.n);
  for (let i = 0; i < matrix.n; i++)
    for (let j = matrix.first[i]!; j <= i; j++) {
      const value = matrix.values[matrix.start[i]! + j - matrix.first[i]!]!;
      dense.set(i, j, value);
      dense.set(j, i, value);
    }
  return dense;
}

/** Largest difference; a second implementation in double precision agrees to rounding, so 1e-10 is ample. */
function expectSame(a: ArrayLike<number>, b: ArrayLike<number>, tolerance = 1e-10): void {
  expect(a.length).toBe(b.length);
  for (let i = 0; i < a.length; i++) expect(Math.abs(a[i]! - b[i]!)).toBeLessThan(tolerance * Math.max(1, Math.abs(b[i]!)));
}

// Second opinion throughout: ml-matrix 6.15 (an independent dense library).
describe("matrices with a profile", () => {
  for (const [n, band, border] of [
    [30, 4, 0],
    [25, 7, 6],
    [1, 0, 0],
    [12, 11, 3],
  ] as const) {
    it(`solves, inverts and takes determinants as a dense library does: ${n} with band ${band} and border ${border}`, () => {
      const matrix = randomSkyline(n, band, border, n * 100 + band);
      const dense = full(matrix);
      const random = seededRandom(5);
      const right = Float64Array.from({ length: matrix.n }, () => random.normal());
      const factor = factorSkyline(matrix)!;
      expectSame(solveSkyline(factor, right), new CholeskyDecomposition(dense).solve(Matrix.columnVector(Array.from(right))).to1DArray());
      const inverse = inverseOf(dense);
      expectSame(inverseDiagonal(factor), inverse.diagonal());
      const within = inverseInProfile(factor);
      for (let i = 0; i < matrix.n; i++)
        for (let j = matrix.first[i]!; j <= i; j++) expect(within.values[within.start[i]! + j - within.first[i]!]!).toBeCloseTo(inverse.get(i, j), 10);
      expect(logDeterminant(factor)).toBeCloseTo(Math.log(determinant(dense)), 9);
      expectSame(skylineTimes(matrix, right), dense.mmul(Matrix.columnVector(Array.from(right))).to1DArray());
    });
  }

  it("refuses a matrix that is not positive definite", () => {
    const matrix = emptySkyline([0, 0]);
    addToSkyline(matrix, 0, 0, 1);
    addToSkyline(matrix, 1, 1, 1);
    addToSkyline(matrix, 1, 0, 2);
    expect(factorSkyline(matrix)).toBeUndefined();
  });

  it("refuses an element outside the profile", () => {
    expect(() => addToSkyline(emptySkyline([0, 1]), 1, 0, 1)).toThrow("(1, 0) lies outside the profile");
  });
});

describe("dense matrices", () => {
  it("solve, invert and take determinants as ml-matrix does", () => {
    const dense = full(randomSkyline(14, 13, 0, 9));
    const factor = factorDense({ n: 14, values: Float64Array.from(dense.to1DArray()) })!;
    const right = Float64Array.from({ length: 14 }, (_, i) => i - 5);
    expectSame(solveDense(factor, right), new CholeskyDecomposition(dense).solve(Matrix.columnVector(Array.from(right))).to1DArray());
    expectSame(inverseDense(factor).values, inverseOf(dense).to1DArray());
    expect(logDeterminantDense(factor)).toBeCloseTo(Math.log(determinant(dense)), 9);
  });
});

describe("least squares", () => {
  // NIST Statistical Reference Datasets, linear regression, "Norris" (certified values, public domain), as distributed with
  // scipy 1.17.1 in scipy/stats/tests/data/nist_linregress/Norris.dat (read). 1e-10 relative: normal equations with one refinement.
  const norris = [
    [0.1, 0.2],
    [338.8, 337.4],
    [118.1, 118.2],
    [888.0, 884.6],
    [9.2, 10.1],
    [228.1, 226.5],
    [668.5, 666.3],
    [998.5, 996.3],
    [449.1, 448.6],
    [778.9, 777.0],
    [559.2, 558.2],
    [0.3, 0.4],
    [0.1, 0.6],
    [778.1, 775.5],
    [668.8, 666.9],
    [339.3, 338.0],
    [448.9, 447.5],
    [10.8, 11.6],
    [557.7, 556.0],
    [228.3, 228.1],
    [998.0, 995.8],
    [888.8, 887.6],
    [119.6, 120.2],
    [0.3, 0.3],
    [0.6, 0.3],
    [557.6, 556.8],
    [339.3, 339.1],
    [888.0, 887.2],
    [998.5, 999.0],
    [778.9, 779.0],
    [10.2, 11.1],
    [117.6, 118.3],
    [228.9, 229.2],
    [668.4, 669.1],
    [449.2, 448.9],
    [0.2, 0.5],
  ] as const;

  it("meets the certified values of NIST Norris", () => {
    const y = norris.map((row) => row[0]);
    const x = norris.map((row) => row[1]);
    const fit = leastSquares([x.map(() => 1), x], y)!;
    const sd = Math.sqrt(fit.residualSquares / 34);
    expectSame(fit.coefficients, [-0.262323073774029, 1.00211681802045]);
    expect(sd).toBeCloseTo(0.884796396144373, 10);
    expectSame([sd * Math.sqrt(fit.covariance.values[0]!), sd * Math.sqrt(fit.covariance.values[3]!)], [0.232818234301152, 0.429796848199937e-3]);
  });

  it("counts a doubled row as two halves", () => {
    const y = [1, 2, 2, 4.5];
    const x = [0, 1, 1, 2];
    const once = leastSquares([x.map(() => 1), x], y)!;
    const halves = leastSquares([[...x, ...x].map(() => 1), [...x, ...x]], [...y, ...y], new Float64Array(8).fill(0.5))!;
    expectSame(halves.coefficients, once.coefficients);
    expectSame(halves.covariance.values, once.covariance.values);
  });

  it("gives no answer for dependent columns", () => {
    expect(
      leastSquares(
        [
          [1, 2, 3],
          [2, 4, 6],
        ],
        [1, 2, 3],
      ),
    ).toBeUndefined();
  });

  it("leaves out rows with a gap or without weight", () => {
    expectSame(leastSquares([[1, 1, 1, 1]], [2, Number.NaN, 4, 99], [1, 1, 1, 0])!.coefficients, [3]);
  });
});
