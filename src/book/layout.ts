import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { UnusableInput } from "../base/index.ts";
import { type Disk, namesIn, readIfThere, writeWhole } from "./durable.ts";
import { withSums } from "./journal.ts";

/**
 * The version of the folder's layout that this program writes. An older book is opened, a newer one refused.
 *
 * 0: lines of journals are the bare JSON of an entry. 1: each line begins with a sum of the entry.
 */
export const BOOK_SCHEMA = 1;

export const BOOK_FILE = "book.json";
export const JOBS = "jobs";
export const JOURNAL = "journal.ndjson";

/** The head of a book as `book.json` has it. */
export function headOf(createdAt: string): Uint8Array {
  return json({ schema: `fettle.book/${BOOK_SCHEMA}`, createdAt });
}

/** Layout that a folder's `book.json` states. @throws UnusableInput when there is none, it is damaged, or a newer program wrote it */
export function layoutOf(folder: string): number {
  const file = join(folder, BOOK_FILE);
  const bytes = readIfThere(file);
  if (bytes === undefined)
    throw new UnusableInput({
      at: { file: folder },
      what: "There is no shop book in this folder",
      do: "Give the folder that holds book.json, or make a book first with: fettle book create",
    });
  const layout = statedLayout(file, bytes);
  if (layout > BOOK_SCHEMA)
    throw new UnusableInput({
      at: { file },
      what: `This book was written by a newer version of the program (layout ${layout}; this one knows ${BOOK_SCHEMA})`,
      do: "Open it with that version; nothing was changed",
    });
  return layout;
}

function statedLayout(file: string, bytes: Uint8Array): number {
  const head = parsed(bytes);
  const found = /^fettle\.book\/(\d+)$/.exec(String(head?.schema));
  if (found !== null) return Number(found[1]);
  throw new UnusableInput({
    at: { file },
    what: "This is not the head of a shop book",
    do: "Put back book.json from a backup; the jobs beside it are not touched",
  });
}

function parsed(bytes: Uint8Array): Record<string, unknown> | undefined {
  try {
    const value: unknown = JSON.parse(new TextDecoder().decode(bytes));
    return typeof value === "object" && value !== null ? (value as Record<string, unknown>) : undefined;
  } catch {
    return undefined;
  }
}

/**
 * Brings a book to the layout of this program. Must run under the lock. Each file as it was stays beside the new one, and the head is
 * renewed last, so that a migration that was cut off is done again from where it stood.
 */
export function migrate(disk: Disk, folder: string): void {
  for (const path of journalsOf(folder)) migrateJournal(disk, path);
  const file = join(folder, BOOK_FILE);
  const bytes = readIfThere(file)!;
  keepOld(disk, file, bytes);
  writeWhole(disk, file, json({ ...parsed(bytes), schema: `fettle.book/${BOOK_SCHEMA}` }));
}

function migrateJournal(disk: Disk, path: string): void {
  const bytes = readIfThere(path);
  if (bytes === undefined) return;
  const summed = withSums(bytes);
  if (Buffer.from(summed).equals(bytes)) return;
  keepOld(disk, path, bytes);
  writeWhole(disk, path, summed);
}

function keepOld(disk: Disk, path: string, bytes: Uint8Array): void {
  const old = `${path}.layout-0`;
  if (!existsSync(old)) writeWhole(disk, old, bytes);
}

function journalsOf(folder: string): string[] {
  const jobs = existsSync(join(folder, JOBS)) ? readdirSync(join(folder, JOBS)).sort() : [];
  return [join(folder, JOURNAL), ...jobs.map((slug) => join(folder, JOBS, slug, JOURNAL))].filter((path) => existsSync(path));
}

/** Folders in which files are written beside and renamed. */
export function writtenFolders(folder: string): string[] {
  const jobs = namesIn(join(folder, JOBS)).map((slug) => join(folder, JOBS, slug));
  return [folder, join(folder, JOBS), ...jobs, ...jobs.flatMap((job) => CONTENT_FOLDERS.map((name) => join(job, name)))];
}

/** Folders of a job whose files are named by the hash of their content. */
export const CONTENT_FOLDERS = ["originals", "tables", "recordings"] as const;
export type ContentFolder = (typeof CONTENT_FOLDERS)[number];
/** Results that can be made again at any time: may always be deleted. */
export const DERIVED = "derived";

function json(value: unknown): Uint8Array {
  return new TextEncoder().encode(`${JSON.stringify(value, null, 2)}\n`);
}
