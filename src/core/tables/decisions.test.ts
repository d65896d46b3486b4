import { expect, test } from "vitest";
import { decidedCells } from "./decisions.ts";

const base = Float64Array.of(1, 2, 3, 4, 5, 6);
const proposed = Float64Array.of(10, 20, 30, 40, 50, 60);

test("decisions follow one another: accept a table, hold a region, set a cell", () => {
  const cells = decidedCells(base, 3, proposed, [
    { decision: "accept" },
    {
      decision: "hold",
      region: [
        [0, 1],
        [1, 1],
      ],
    },
    { decision: "edit", cells: [{ row: 1, column: 2, value: 61 }] },
  ]);
  expect([...cells]).toEqual([10, 2, 30, 40, 5, 61]);
  expect([...base]).toEqual([1, 2, 3, 4, 5, 6]);
});

test("without a proposal nothing is accepted, and cells outside the table are passed over", () => {
  expect([...decidedCells(base, 3, undefined, [{ decision: "accept" }, { decision: "edit", cells: [{ row: 9, column: 0, value: 1 }] }])]).toEqual([...base]);
});
