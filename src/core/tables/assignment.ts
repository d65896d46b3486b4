/**
 * Best one-to-one assignment of rows to columns: the column of each row that makes the sum of scores greatest, -1 for none.
 *
 * Shortest augmenting paths (Kuhn 1955, Munkres 1957; in the form of Jonker and Volgenant 1987, from memory). Scores at or below zero
 * are never assigned.
 *
 * @param scores one array a row, all of one length
 */
export function bestAssignment(scores: readonly (readonly number[])[]): number[] {
  const n = scores.length;
  const columns = scores[0]?.length ?? 0;
  // One private "nobody" column of score zero for every row lets a row stay free.
  const width = columns + n;
  const cost = (row: number, column: number): number => (column < columns ? -Math.max(0, scores[row]![column]!) : 0);
  const u = new Float64Array(n + 1);
  const v = new Float64Array(width + 1);
  const rowOf = new Int32Array(width + 1);
  for (let row = 1; row <= n; row++) {
    rowOf[0] = row;
    let at = 0;
    const least = new Float64Array(width + 1).fill(Number.POSITIVE_INFINITY);
    const used = new Uint8Array(width + 1);
    const from = new Int32Array(width + 1);
    do {
      used[at] = 1;
      const current = rowOf[at]!;
      let delta = Number.POSITIVE_INFINITY;
      let next = 0;
      for (let column = 1; column <= width; column++) {
        if (used[column] === 1) continue;
        const reduced = cost(current - 1, column - 1) - u[current]! - v[column]!;
        if (reduced < least[column]!) {
          least[column] = reduced;
          from[column] = at;
        }
        if (least[column]! < delta) {
          delta = least[column]!;
          next = column;
        }
      }
      for (let column = 0; column <= width; column++)
        if (used[column] === 1) {
          u[rowOf[column]!]! += delta;
          v[column]! -= delta;
        } else least[column]! -= delta;
      at = next;
    } while (rowOf[at] !== 0);
    while (at !== 0) {
      rowOf[at] = rowOf[from[at]!]!;
      at = from[at]!;
    }
  }
  const result = new Array<number>(n).fill(-1);
  for (let column = 1; column <= columns; column++)
    if (rowOf[column]! > 0 && scores[rowOf[column]! - 1]![column - 1]! > 0) result[rowOf[column]! - 1] = column - 1;
  return result;
}
