import { type Book, type JobState, keyOfTable, readJob } from "../book/index.ts";
import { explainEdits } from "../core/edits/index.ts";
import type { Edit } from "../core/result/index.ts";
import { calibrationOf, sameAxes, type Table } from "../core/tables/index.ts";
import { sheetsBeside } from "./revise.ts";

/** A calibration of a job: a revision by its number (0 as received), or the factory's. */
export type Side = number | "factory";

/**
 * What was done to get from one calibration of a job to another, one sentence a table, tables that did not change left out.
 * @throws UnusableInput when the job has no such revision
 */
export function compareRevisions(book: Book, slug: string, first: Side, second: Side): readonly Edit[] {
  const { state } = readJob(book, slug);
  return explainEdits(calibrationOf(tablesOf(book, state, second)), calibrationOf(tablesOf(book, state, first))).filter((edit) => edit.kind !== "unchanged");
}

/**
 * Tables that differ between two calibrations of a job and can be laid over each other cell by cell, in order of role or title.
 * @throws UnusableInput when the job has no such revision
 */
export function changedTables(book: Book, slug: string, first: Side, second: Side): readonly { readonly from: Table; readonly to: Table }[] {
  const { state } = readJob(book, slug);
  const before = new Map(tablesOf(book, state, first).map((table) => [keyOfTable(table), table]));
  return tablesOf(book, state, second)
    .flatMap((to) => {
      const from = before.get(keyOfTable(to));
      return from !== undefined && sameAxes(from, to) && to.cells.some((cell, i) => cell !== from.cells[i]) ? [{ from, to }] : [];
    })
    .sort((a, b) => (keyOfTable(a.to) < keyOfTable(b.to) ? -1 : 1));
}

function tablesOf(book: Book, state: JobState, side: Side): readonly Table[] {
  const { inForce, factory } = sheetsBeside(book, state, side === "factory" ? 0 : side);
  return (side === "factory" ? factory : inForce).map((sheet) => sheet.table);
}
