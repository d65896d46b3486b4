import { expect, test } from "vitest";
import { fromTabbed, toTabbed } from "./clipboard.ts";
import { selectionOf } from "./operations.ts";

const grid = { columns: 3, cells: Float64Array.of(1, 2, 3, 4, 50, 6, 7, 8, 9) };
const axes = { x: [500, 1000, 2000], y: [20, 40, 80] };
const all = selectionOf([0, 0], [2, 2]);
const corner = selectionOf([0, 0], [0, 0]);
const empty = { ...grid, cells: new Float64Array(9) };

function cellsOf(pasted: ReturnType<typeof fromTabbed>): number[] {
  if ("problem" in pasted) throw new Error(pasted.problem);
  return Array.from(pasted.cells);
}

test("text with axes goes out and comes back, wherever the cursor stands", () => {
  const text = toTabbed(grid, all, axes);
  expect(text.split("\n")[0]).toBe("\t500\t1000\t2000");
  expect(cellsOf(fromTabbed(text, empty, corner, axes))).toEqual(Array.from(grid.cells));
  const part = toTabbed(grid, selectionOf([1, 1], [2, 2]), axes);
  expect(cellsOf(fromTabbed(part, empty, corner, axes))).toEqual([0, 0, 0, 0, 50, 6, 0, 8, 9]);
});

test("rows in the other order, with decimal commas and a word in the corner, land where their axes say", () => {
  const text = "kPa\t500\t1000\t2000\r\n80\t7,5\t8,5\t9,5\r\n20\t1,5\t2,5\t−3";
  expect(cellsOf(fromTabbed(text, grid, corner, axes))).toEqual([1.5, 2.5, -3, 4, 50, 6, 7.5, 8.5, 9.5]);
});

test("other breakpoints are read off between theirs, and cells beyond them stay", () => {
  const text = "\t750\t1250\n20\t10\t20\n60\t30\t40";
  const pasted = fromTabbed(text, grid, corner, axes);
  // 1000 rpm lies half-way between 750 and 1250; 40 kPa half-way between 20 and 60.
  expect(cellsOf(pasted)).toEqual([1, 15, 3, 4, 25, 6, 7, 8, 9]);
  expect(pasted).toHaveProperty("says", "The axes differ: 2 cells were read off between the clipboard's breakpoints, 7 beyond them stay.");
});

test("without axes the first line goes to the selection; one value fills it", () => {
  expect(cellsOf(fromTabbed("5\t6", empty, selectionOf([1, 1], [1, 1]), axes))).toEqual([0, 0, 0, 0, 5, 6, 0, 0, 0]);
  expect(cellsOf(fromTabbed("5", empty, selectionOf([0, 0], [1, 1]), axes))).toEqual([5, 5, 0, 5, 5, 0, 0, 0, 0]);
});

test("a curve's row needs no place on an axis", () => {
  const curve = { columns: 3, cells: Float64Array.of(1, 2, 3) };
  const only = { x: axes.x, y: undefined };
  expect(cellsOf(fromTabbed(toTabbed(curve, selectionOf([0, 0], [0, 2]), only), { ...curve, cells: new Float64Array(3) }, corner, only))).toEqual([1, 2, 3]);
});

test.each([
  ["", "The clipboard holds no cells."],
  ["1\t2\n3\tx", '"x" in line 2 of the clipboard is no number.'],
  ["1\t2\t3\t4", "The cells on the clipboard reach beyond the table from here."],
  ["1\t2\n3", "The lines on the clipboard are not equally long."],
  ["\t9000\t9500\n20\t1\t2", "No cell of this table lies within the axes on the clipboard."],
  ["\t700\t600\n20\t1\t2", "The axes on the clipboard are not this table's and do not rise, so they cannot be read off."],
])("%j is refused in words", (text, problem) => expect(fromTabbed(text, grid, corner, axes)).toEqual({ problem }));
