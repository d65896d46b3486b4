import { existsSync, mkdirSync, readdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { UnusableInput } from "../base/index.ts";
import { type Disk, realDisk, sweepParts, writeWhole } from "./durable.ts";
import { BOOK_FILE, BOOK_SCHEMA, headOf, JOBS, layoutOf, migrate, writtenFolders } from "./layout.ts";
import { withLock } from "./lock.ts";
import { guarded } from "./refusal.ts";

/** An open shop book: a plain folder, and who is writing in it. */
export interface Book {
  readonly folder: string;
  readonly by: string;
  /** The writer's clock, ISO 8601. Handed in so that tests can set it back. */
  readonly now: () => string;
  readonly disk: Disk;
  /** Layout found when the book was opened; an older one is brought up to date by the first entry. */
  readonly layout: number;
}

export interface BookOptions {
  readonly by: string;
  readonly now: () => string;
  readonly disk?: Disk;
}

/** Makes a new book in a folder that is missing or empty. @throws UnusableInput when the folder holds something else */
export function createBook(folder: string, options: BookOptions): Book {
  const target = resolve(folder);
  if (existsSync(join(target, BOOK_FILE)))
    throw new UnusableInput({ at: { file: folder }, what: "This folder holds a shop book already", do: "Open it, or give another folder" });
  if (existsSync(target) && readdirSync(target).length > 0)
    throw new UnusableInput({ at: { file: folder }, what: "This folder is not empty", do: "Give a new or an empty folder for the book" });
  const book = bookAt(target, options, BOOK_SCHEMA);
  guarded(folder, () => {
    mkdirSync(join(target, JOBS), { recursive: true });
    writeWhole(book.disk, join(target, BOOK_FILE), headOf(options.now()));
  });
  return book;
}

/**
 * Opens a book, and removes what killed writers left half-written. Nothing else is changed, so that a folder that can only be read
 * opens as well. @throws UnusableInput when there is none, when its head is damaged, or when a newer program made it
 */
export function openBook(folder: string, options: BookOptions): Book {
  const target = resolve(folder);
  const layout = layoutOf(target);
  for (const place of writtenFolders(target)) sweepParts(place);
  return bookAt(target, options, layout);
}

function bookAt(folder: string, options: BookOptions, layout: number): Book {
  return { folder, by: options.by, now: options.now, disk: options.disk ?? realDisk, layout };
}

/** Runs work that writes: alone in the book, in the layout of this program, the disk's refusals told in words. */
export function writing<T>(book: Book, file: string, work: () => T): T {
  return guarded(file, () =>
    withLock(book.folder, book.now(), () => {
      // The head is read again: another process may have brought the book up to date since it was opened.
      if (book.layout < BOOK_SCHEMA && layoutOf(book.folder) < BOOK_SCHEMA) migrate(book.disk, book.folder);
      return work();
    }),
  );
}
