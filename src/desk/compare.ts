import { type Book, readJob } from "../book/index.ts";
import { explainEdits } from "../core/edits/index.ts";
import type { Edit } from "../core/result/index.ts";
import { calibrationOf } from "../core/tables/index.ts";
import { sheetsBeside } from "./revise.ts";

/** A calibration of a job: a revision by its number (0 as received), or the factory's. */
export type Side = number | "factory";

/**
 * What was done to get from one calibration of a job to another, one sentence a table, tables that did not change left out.
 * @throws UnusableInput when the job has no such revision
 */
export function compareRevisions(book: Book, slug: string, first: Side, second: Side): readonly Edit[] {
  const { state } = readJob(book, slug);
  const tables = (side: Side) => {
    const { inForce, factory } = sheetsBeside(book, state, side === "factory" ? 0 : side);
    return calibrationOf((side === "factory" ? factory : inForce).map((sheet) => sheet.table));
  };
  return explainEdits(tables(second), tables(first)).filter((edit) => edit.kind !== "unchanged");
}
