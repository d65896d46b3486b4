/** What a person decided about a table, or a part of it. Values in the table's canonical unit. */
export interface CellDecision {
  readonly decision: "accept" | "hold" | "edit";
  /** First and last [row, column], both included; absent: the whole table. */
  readonly region?: readonly [readonly [number, number], readonly [number, number]];
  readonly cells?: readonly { readonly row: number; readonly column: number; readonly value: number }[];
}

/**
 * A table's cells after decisions, in the order in which they were made: `accept` takes the proposed cells, `hold` goes back to the
 * base, `edit` sets single cells. Shape of `base`; a proposal of another size, or none, accepts nothing.
 */
export function decidedCells(base: Float64Array, columns: number, proposed: Float64Array | undefined, decisions: readonly CellDecision[]): Float64Array {
  const cells = Float64Array.from(base);
  const rows = base.length / columns;
  for (const { decision, region, cells: edited } of decisions) {
    if (decision === "edit") {
      for (const { row, column, value } of edited ?? []) if (row < rows && column < columns) cells[row * columns + column] = value;
      continue;
    }
    const source = decision === "hold" ? base : proposed?.length === base.length ? proposed : undefined;
    if (source === undefined) continue;
    const [[r0, c0], [r1, c1]] = region ?? [
      [0, 0],
      [rows - 1, columns - 1],
    ];
    for (let r = r0; r <= Math.min(r1, rows - 1); r++) for (let c = c0; c <= Math.min(c1, columns - 1); c++) cells[r * columns + c] = source[r * columns + c]!;
  }
  return cells;
}
