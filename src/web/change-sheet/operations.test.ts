import { expect, test } from "vitest";
import { applyOperation, selectionOf } from "./operations.ts";

const grid = { columns: 3, cells: Float64Array.of(1, 2, 3, 4, 50, 6, 7, 8, 9) };
const axes = { x: [500, 1000, 2000], y: [20, 40, 80] };
const all = selectionOf([0, 0], [2, 2]);

test("between edges is bilinear in the spacing of the axes", () => {
  const cells = applyOperation(grid, all, { kind: "between-edges" }, axes);
  // x: 1000 lies a third of the way from 500 to 2000; y: 40 a third of the way from 20 to 80.
  expect(cells[4]).toBeCloseTo(1 + 2 / 3 + 6 / 3, 12);
  expect([cells[0], cells[2], cells[6], cells[8]]).toEqual([1, 3, 7, 9]);
});

test("a spike is halved towards its neighbours by a blend", () => {
  const cells = applyOperation(grid, selectionOf([1, 1], [1, 1]), { kind: "blend" }, axes);
  expect(cells[4]).toBe((50 + (2 + 4 + 6 + 8) / 4) / 2);
});
