import { UnusableInput } from "../base/index.ts";
import {
  addFiles,
  type Book,
  type JobState,
  memoryOf,
  type OfferedReference,
  offeredReferences,
  type RankedReference,
  rankReferences,
  readJob,
  readOriginal,
} from "../book/index.ts";
import type { Table } from "../core/tables/index.ts";
import { intakeOf } from "./intake-of.ts";
import { revisionSheets, sheetsBeside } from "./revise.ts";

/** Displacement and cylinders of a job; undefined where it has no intake that can be read. */
export function engineOf(book: Book, state: JobState): OfferedReference["engine"] | undefined {
  const engine = intakeOf(book, state)?.engine;
  return engine && { displacementL: engine.displacementL, cylinders: engine.cylinders };
}

/**
 * Calibrations of earlier jobs that could serve a job as reference, nearest first.
 * @throws UnusableInput when the job's own engine is not known
 */
export function referencesFor(book: Book, slug: string): readonly RankedReference[] {
  const { state } = readJob(book, slug);
  const engine = engineOf(book, state);
  if (engine === undefined)
    throw new UnusableInput({ at: { file: slug }, what: "The job has no intake yet", do: "Enter at least the displacement and the number of cylinders" });
  const tables = revisionSheets(book, state, 0).map((sheet) => sheet.table);
  const offered = offeredReferences(book, memoryOf(book), slug, (job) => engineOf(book, readJob(book, job).state));
  return rankReferences(
    engine,
    tables,
    offered.map((reference) => ({ reference, tables: tablesOf(book, reference) })),
  );
}

/** Tables of an offered calibration; none where its job is gone from the book or can no longer be read. */
function tablesOf(book: Book, reference: OfferedReference): readonly Table[] {
  try {
    const { inForce, factory } = sheetsBeside(book, readJob(book, reference.job).state, 0);
    return (reference.folder === "reference" ? factory : inForce).map((sheet) => sheet.table);
  } catch (error) {
    if (error instanceof UnusableInput) return [];
    throw error;
  }
}

/**
 * Takes an earlier job's calibration as the reference of this one: its sheets are brought in byte for byte, so that this job stands by
 * itself when it is taken elsewhere. @returns how many sheets came in
 * @throws UnusableInput when the job has a reference of its own, or the other has none
 */
export function useReference(book: Book, slug: string, reference: Pick<OfferedReference, "name" | "job" | "folder">, why?: string): number {
  const { state } = readJob(book, slug);
  if (state.files.some((file) => file.path.startsWith("calibration/reference/")))
    throw new UnusableInput({
      at: { file: slug },
      what: "The job has a reference calibration already",
      do: "Take those sheets out first if another one is to stand in their place",
    });
  const folder = `calibration/${reference.folder}/`;
  const files = readJob(book, reference.job).state.files.filter((file) => file.path.startsWith(folder));
  if (files.length === 0)
    throw new UnusableInput({ at: { file: reference.job }, what: `The job has no ${folder.slice(0, -1)}`, do: "Take another reference from the list" });
  addFiles(
    book,
    slug,
    files.map((file) => ({ path: `calibration/reference/${file.path.slice(folder.length)}`, bytes: readOriginal(book, reference.job, file) })),
    why ?? `reference taken from "${reference.name}" (job ${reference.job}, ${reference.folder === "reference" ? "factory's tables" : "as received"})`,
  );
  return files.length;
}
