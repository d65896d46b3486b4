/** Simple operations on a rectangle of cells. Values in the unit shown; each returns new cells and leaves the given ones alone. */
export interface Selection {
  readonly r0: number;
  readonly c0: number;
  readonly r1: number;
  readonly c1: number;
}

export interface Grid {
  readonly columns: number;
  readonly cells: Float64Array;
}

export type Operation = { readonly kind: "set" | "add" | "multiply"; readonly by: number } | { readonly kind: "blend" } | { readonly kind: "between-edges" };

export function selectionOf(a: readonly [number, number], b: readonly [number, number]): Selection {
  return { r0: Math.min(a[0], b[0]), c0: Math.min(a[1], b[1]), r1: Math.max(a[0], b[0]), c1: Math.max(a[1], b[1]) };
}

export function isSelected(s: Selection, row: number, column: number): boolean {
  return row >= s.r0 && row <= s.r1 && column >= s.c0 && column <= s.c1;
}

export function applyOperation(grid: Grid, s: Selection, operation: Operation, axes: { x: readonly number[]; y: readonly number[] }): Float64Array {
  const cells = Float64Array.from(grid.cells);
  const each = (change: (row: number, column: number, value: number) => number): void => {
    for (let r = s.r0; r <= s.r1; r++) for (let c = s.c0; c <= s.c1; c++) cells[r * grid.columns + c] = change(r, c, grid.cells[r * grid.columns + c]!);
  };
  switch (operation.kind) {
    case "set":
      each(() => operation.by);
      break;
    case "add":
      each((_, __, value) => value + operation.by);
      break;
    case "multiply":
      each((_, __, value) => value * operation.by);
      break;
    case "blend":
      each((row, column, value) => (value + meanOfNeighbours(grid, row, column)) / 2);
      break;
    case "between-edges":
      each((row, column) => betweenEdges(grid, s, row, column, axes));
      break;
  }
  return cells;
}

function meanOfNeighbours({ cells, columns }: Grid, row: number, column: number): number {
  const rows = cells.length / columns;
  let sum = 0;
  let count = 0;
  for (const [dr, dc] of [
    [-1, 0],
    [1, 0],
    [0, -1],
    [0, 1],
  ] as const) {
    const [r, c] = [row + dr, column + dc];
    if (r < 0 || c < 0 || r >= rows || c >= columns) continue;
    sum += cells[r * columns + c]!;
    count++;
  }
  return count === 0 ? cells[row * columns + column]! : sum / count;
}

/** Bilinear between the corners of the selection, in the spacing of the axes; a single row or column goes between its ends. */
function betweenEdges({ cells, columns }: Grid, s: Selection, row: number, column: number, axes: { x: readonly number[]; y: readonly number[] }): number {
  const share = (values: readonly number[], from: number, to: number, at: number): number =>
    from === to ? 0 : (values[at]! - values[from]!) / (values[to]! - values[from]!);
  const sx = share(axes.x, s.c0, s.c1, column);
  const sy = share(axes.y, s.r0, s.r1, row);
  const corner = (r: number, c: number): number => cells[r * columns + c]!;
  const top = corner(s.r0, s.c0) * (1 - sx) + corner(s.r0, s.c1) * sx;
  const bottom = corner(s.r1, s.c0) * (1 - sx) + corner(s.r1, s.c1) * sx;
  return top * (1 - sy) + bottom * sy;
}
