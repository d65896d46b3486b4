import { columnsOf, rowsOf, type Table } from "../core/tables/index.ts";
import type { CellRegion } from "./events.ts";
import type { Decision } from "./job-state.ts";

/** What is proposed for a table: cells in its canonical unit, and how sure each is. */
export interface ProposedCells {
  readonly cells: ArrayLike<number>;
  readonly sd?: ArrayLike<number | null>;
}

/** A cell as the decisions leave it, beside the one before. */
export interface DecidedCells {
  /** Shape of the table's cells. */
  readonly cells: Float64Array;
  /** Number of the decision that set each cell; 0 where none did. */
  readonly decision: Int32Array;
  /** Standard deviation of each cell, NaN for what the hand set or nothing is known of. */
  readonly sd: Float64Array;
}

/** What the decisions concern: the role, or the title of a table without one. */
export function keyOfTable(table: Pick<Table, "role" | "title">): string {
  return table.role ?? table.title;
}

/**
 * Cells of a table after all decisions on it, in their order: an accepted region takes the proposal's cells, a held one goes back to
 * the base, an edited cell takes the hand's value. Cells outside the table are passed over. Pure.
 *
 * @param proposed  the proposal that an `accept` took, undefined when there is none (then it changes nothing)
 */
export function applyDecisions(base: Table, decisions: readonly Decision[], proposed: (decision: Decision) => ProposedCells | undefined): DecidedCells {
  const columns = columnsOf(base);
  const rows = rowsOf(base);
  const cells = Float64Array.from(base.cells);
  const decision = new Int32Array(cells.length);
  const sd = new Float64Array(cells.length).fill(Number.NaN);
  const key = keyOfTable(base);
  const put = (at: number, value: number, by: number, deviation: number): void => {
    cells[at] = value;
    decision[at] = by;
    sd[at] = deviation;
  };
  for (const made of decisions) {
    if (made.role !== key) continue;
    if (made.decision === "edit") {
      for (const { row, column, value } of made.cells ?? [])
        if (row >= 0 && row < rows && column >= 0 && column < columns && Number.isFinite(value)) put(row * columns + column, value, made.number, Number.NaN);
      continue;
    }
    const proposal = made.decision === "accept" ? proposed(made) : undefined;
    if (made.decision === "accept" && proposal === undefined) continue;
    for (const at of cellsOf(made.region, rows, columns)) {
      if (proposal === undefined) put(at, base.cells[at]!, 0, Number.NaN);
      else if (Number.isFinite(proposal.cells[at])) put(at, proposal.cells[at]!, made.number, proposal.sd?.[at] ?? Number.NaN);
    }
  }
  return { cells, decision, sd };
}

/** Indices of the cells of a region, cut to the table; all of them without a region. */
function cellsOf(region: CellRegion | undefined, rows: number, columns: number): number[] {
  const [[top, left], [bottom, right]] = region ?? [
    [0, 0],
    [rows - 1, columns - 1],
  ];
  const cells: number[] = [];
  for (let row = Math.max(0, top); row <= Math.min(bottom, rows - 1); row++)
    for (let column = Math.max(0, left); column <= Math.min(right, columns - 1); column++) cells.push(row * columns + column);
  return cells;
}
