import type { Finding, Severity } from "../result/index.ts";
import { type Role, resampleLike, type Table } from "../tables/index.ts";
import type { CellChange, CorrectionInput } from "./define.ts";

/** The finding of a check that is grave enough to change a table for, if the inspection made one. */
export function findingOf(input: Pick<CorrectionInput, "findings">, check: string, severities: readonly Severity[] = ["stop", "fix"]): Finding | undefined {
  return input.findings.find((finding) => finding.check === check && severities.includes(finding.severity));
}

/** Cells of the reference's table of this role at the breakpoints of the table as received; undefined without such a table. */
export function referenceCells(input: Pick<CorrectionInput, "reference">, role: Role, like: Table): Float64Array | undefined {
  const reference = input.reference?.byRole[role];
  if (reference === undefined || (reference.x === undefined) !== (like.x === undefined) || (reference.y === undefined) !== (like.y === undefined))
    return undefined;
  return resampleLike(reference, like);
}

/** A change that follows from the tables and the hardware, not from samples: as sure as the finding, no cell of it covered by driving. */
export function ruledChange(cells: Float64Array, why: string, limited: readonly string[] = []): CellChange {
  const none = new Float64Array(cells.length);
  return { cells, sd: none, sdKind: "absolute", coverage: none, limited, why };
}

/** A factor in words: "1.12 times" or "about as it was". */
export function timesInWords(factor: number): string {
  return `${factor.toFixed(2)} times`;
}
