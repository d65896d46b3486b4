import { columnsOf, printedSlack, roundingStep, rowsOf, type Table } from "../tables/index.ts";

/** Two tables on the same axes, cell by cell, with what rounding leaves open. All arrays have shape (rows · columns). */
export interface Comparison {
  readonly received: Float64Array;
  readonly reference: Float64Array;
  readonly rows: number;
  readonly columns: number;
  /** Rounding step that left-over differences are counted in [table's unit]. */
  readonly step: number;
  /** By how much a cell may miss a story and still be explained: half a step and the printed digits. */
  readonly tolerance: Float64Array;
  /** By how much two cells may differ and still be the same number: the printed digits alone. */
  readonly printed: Float64Array;
  readonly changed: readonly number[];
}

/** Compares cells of two tables; `reference` must hold as many cells as the table received. */
export function compareCells(received: Table, referenceTable: Table, reference: Float64Array): Comparison {
  const n = received.cells.length;
  const otherUnits = !sameFormat(received, referenceTable);
  const printed = new Float64Array(n);
  const changed: number[] = [];
  for (let i = 0; i < n; i++) {
    const slackOfReference = i < referenceTable.cells.length ? printedSlack(referenceTable, i, otherUnits) : 0;
    printed[i] = printedSlack(received, i, otherUnits) + slackOfReference;
    if (!(Math.abs(received.cells[i]! - reference[i]!) <= printed[i]!)) changed.push(i);
  }
  const step = roundingStep([received, referenceTable]).size;
  const edited = { ...received, cells: Float64Array.from(changed, (i) => received.cells[i]!) };
  const editedStep = changed.length >= 6 ? roundingStep([edited]).size : 0;
  const half = Math.max(step, Math.min(editedStep, 10 * step)) / 2;
  return {
    received: received.cells,
    reference,
    rows: rowsOf(received),
    columns: columnsOf(received),
    step,
    tolerance: printed.map((p) => half * 1.0001 + p),
    printed,
    changed,
  };
}

function sameFormat(a: Table, b: Table): boolean {
  if (a.format === undefined || b.format === undefined) return a.format === b.format;
  return a.format.scale === b.format.scale && a.format.offset === b.format.offset;
}

/** Left-over difference of each cell from a story, in whole rounding steps; zero within tolerance. */
export function leftOver(c: Comparison, predicted: Float64Array, tolerance: Float64Array = c.tolerance): Float64Array {
  return predicted.map((p, i) => {
    const beyond = Math.abs(c.received[i]! - p) - tolerance[i]!;
    return beyond <= 0 ? 0 : Math.min(1e6, Math.ceil(beyond / c.step + 1e-9));
  });
}

/** Smallest rectangle that holds the given cells. */
export interface Rectangle {
  readonly top: number;
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
}

export function rectangleAround(cells: readonly number[], columns: number): Rectangle {
  let [top, left, bottom, right] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, -1, -1];
  for (const cell of cells) {
    const row = Math.floor(cell / columns);
    const column = cell % columns;
    top = Math.min(top, row);
    bottom = Math.max(bottom, row);
    left = Math.min(left, column);
    right = Math.max(right, column);
  }
  return { top, left, bottom, right };
}

/** Indices of the cells of a rectangle, row by row. */
export function cellsOf(rectangle: Rectangle, columns: number): number[] {
  const cells: number[] = [];
  for (let row = rectangle.top; row <= rectangle.bottom; row++)
    for (let column = rectangle.left; column <= rectangle.right; column++) cells.push(row * columns + column);
  return cells;
}
