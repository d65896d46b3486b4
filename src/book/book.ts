import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync } from "node:fs";
import { extname, join, resolve } from "node:path";
import { type Problem, UnusableInput } from "../base/index.ts";
import { type Disk, readIfThere, realDisk, writeWhole } from "./durable.ts";
import type { BookEventKind, BookEvents, JobEventKind, JobEvents, KeptFile } from "./events.ts";
import { foldJob, type JobState } from "./job-state.ts";
import { appendEvent, type JournalEvent, readJournal } from "./journal.ts";
import { withLock } from "./lock.ts";

/** The version of the folder's layout that this program writes. An older book is opened, a newer one refused. */
export const BOOK_SCHEMA = 1;

/** An open shop book: a plain folder, and who is writing in it. */
export interface Book {
  readonly folder: string;
  readonly by: string;
  /** The writer's clock, ISO 8601. Handed in so that tests can set it back. */
  readonly now: () => string;
  readonly disk: Disk;
}

export interface BookOptions {
  readonly by: string;
  readonly now: () => string;
  readonly disk?: Disk;
}

const BOOK_FILE = "book.json";
const JOBS = "jobs";

/** Makes a new book in a folder that is missing or empty. @throws UnusableInput when the folder holds something else */
export function createBook(folder: string, options: BookOptions): Book {
  const target = resolve(folder);
  if (existsSync(join(target, BOOK_FILE)))
    throw new UnusableInput({ at: { file: folder }, what: "This folder holds a shop book already", do: "Open it, or give another folder" });
  if (existsSync(target) && readdirSync(target).length > 0)
    throw new UnusableInput({ at: { file: folder }, what: "This folder is not empty", do: "Give a new or an empty folder for the book" });
  const book = bookAt(target, options);
  guarded(folder, () => {
    mkdirSync(join(target, JOBS), { recursive: true });
    writeWhole(book.disk, join(target, BOOK_FILE), json({ schema: `fettle.book/${BOOK_SCHEMA}`, createdAt: options.now() }));
  });
  return book;
}

/** Opens a book. @throws UnusableInput when there is none, when its file is damaged, or when a newer program made it */
export function openBook(folder: string, options: BookOptions): Book {
  const target = resolve(folder);
  const bytes = readIfThere(join(target, BOOK_FILE));
  if (bytes === undefined)
    throw new UnusableInput({
      at: { file: folder },
      what: "There is no shop book in this folder",
      do: "Give the folder that holds book.json, or make a book first",
    });
  const version = schemaVersion(join(folder, BOOK_FILE), bytes);
  if (version > BOOK_SCHEMA)
    throw new UnusableInput({
      at: { file: join(folder, BOOK_FILE) },
      what: `This book was written by a newer version (layout ${version}; this program knows ${BOOK_SCHEMA})`,
      do: "Open it with that version; nothing was changed",
    });
  return bookAt(target, options);
}

function bookAt(folder: string, options: BookOptions): Book {
  return { folder, by: options.by, now: options.now, disk: options.disk ?? realDisk };
}

function schemaVersion(file: string, bytes: Uint8Array): number {
  try {
    const found = /^fettle\.book\/(\d+)$/.exec(String((JSON.parse(new TextDecoder().decode(bytes)) as { schema?: unknown }).schema));
    if (found !== null) return Number(found[1]);
  } catch {
    // Told below, like any other content that is not a book's.
  }
  throw new UnusableInput({
    at: { file },
    what: "This is not the head of a shop book",
    do: "Put back book.json from a backup; the jobs beside it are not touched",
  });
}

function json(value: unknown): Uint8Array {
  return new TextEncoder().encode(`${JSON.stringify(value, null, 2)}\n`);
}

/** Turns the disk's refusal into one line that a person can act on. */
function guarded<T>(file: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === undefined || error instanceof UnusableInput) throw error;
    const what: Record<string, string> = {
      ENOSPC: "The disk is full; nothing of this entry was kept",
      EROFS: "The folder can only be read",
      EACCES: "This folder may not be written",
      EPERM: "This folder may not be written",
      EDQUOT: "The disk quota is used up; nothing of this entry was kept",
      EIO: "The disk reports a fault; nothing of this entry was kept",
    };
    throw new UnusableInput({
      at: { file },
      what: what[code] ?? `The book could not be written (${code})`,
      do:
        code === "ENOSPC" || code === "EDQUOT"
          ? "Make room and do it again; all earlier entries are safe"
          : "Check the disk and the rights on the folder; all earlier entries are safe",
    });
  }
}

// --- jobs -----------------------------------------------------------------------------------------------------------

export function jobFolder(book: Book, slug: string): string {
  if (!/^[a-z0-9][a-z0-9-]*$/.test(slug))
    throw new UnusableInput({ at: { file: slug }, what: "This is not the short name of a job", do: "Take one from the list of jobs" });
  return join(book.folder, JOBS, slug);
}

export function journalPath(book: Book, slug: string): string {
  return join(jobFolder(book, slug), "journal.ndjson");
}

/** Short names of all jobs, sorted. */
export function jobSlugs(book: Book): readonly string[] {
  const folder = join(book.folder, JOBS);
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && existsSync(join(folder, entry.name, "journal.ndjson")))
    .map((entry) => entry.name)
    .sort();
}

/** A short name from a title that no job has yet: "Rough idle, wagon" → "rough-idle-wagon", then "…-2". */
function freeSlug(book: Book, title: string): string {
  const plain = title
    .normalize("NFKD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 48);
  const stem = plain === "" ? "job" : plain;
  for (let i = 1; ; i++) {
    const slug = i === 1 ? stem : `${stem}-${i}`;
    if (!existsSync(join(book.folder, JOBS, slug))) return slug;
  }
}

/** Begins a job and returns its short name. */
export function createJob(book: Book, entry: { readonly title: string; readonly vehicle?: string; readonly why?: string }): string {
  return guarded(book.folder, () =>
    withLock(book.folder, book.now(), () => {
      const slug = freeSlug(book, entry.title);
      appendEvent(book.disk, journalPath(book, slug), {
        at: book.now(),
        by: book.by,
        kind: "job.created",
        data: { title: entry.title, vehicle: entry.vehicle ?? "" },
        why: entry.why,
      });
      return slug;
    }),
  );
}

/** A job as it stands, its events and what is damaged. @throws UnusableInput when there is no such job */
export function readJob(
  book: Book,
  slug: string,
): { readonly state: JobState; readonly events: readonly JournalEvent[]; readonly problems: readonly Problem[] } {
  const path = journalPath(book, slug);
  if (!existsSync(path))
    throw new UnusableInput({ at: { file: slug }, what: "There is no such job in this book", do: "Take a short name from the list of jobs" });
  const { events, problems } = readJournal(path);
  return { state: foldJob(slug, events), events, problems };
}

/** Adds an event to a job; returns once it is safe on the disk. */
export function recordJobEvent<Kind extends JobEventKind>(
  book: Book,
  slug: string,
  kind: Kind,
  data: JobEvents[Kind],
  why?: string,
): JournalEvent<Kind, JobEvents[Kind]> {
  const path = journalPath(book, slug);
  if (!existsSync(path)) readJob(book, slug);
  return guarded(path, () => withLock(book.folder, book.now(), () => appendEvent(book.disk, path, { at: book.now(), by: book.by, kind, data, why })));
}

// --- originals ------------------------------------------------------------------------------------------------------

export function sha256Of(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

/** Where content of a hash lies within a job: `originals/<sha256><extension>`. */
export function originalPath(book: Book, slug: string, sha256: string, path: string): string {
  return join(jobFolder(book, slug), "originals", `${sha256}${extname(path).toLowerCase()}`);
}

/** Keeps files byte for byte and enters them in the journal. Content that is there already is not written again. */
export function addFiles(
  book: Book,
  slug: string,
  files: readonly { readonly path: string; readonly bytes: Uint8Array; readonly revision?: number }[],
  why?: string,
): readonly KeptFile[] {
  const kept = files.map((file): KeptFile => {
    const sha256 = sha256Of(file.bytes);
    const target = originalPath(book, slug, sha256, file.path);
    if (statSync(target, { throwIfNoEntry: false })?.size !== file.bytes.length) guarded(target, () => writeWhole(book.disk, target, file.bytes));
    return { path: file.path, sha256, bytes: file.bytes.length, ...(file.revision === undefined ? {} : { revision: file.revision }) };
  });
  recordJobEvent(book, slug, "files.added", { files: kept }, why);
  return kept;
}

/** An original's bytes. @throws UnusableInput when it is missing or no longer what its hash says */
export function readOriginal(book: Book, slug: string, file: KeptFile): Uint8Array {
  const path = originalPath(book, slug, file.sha256, file.path);
  if (!existsSync(path))
    throw new UnusableInput({ at: { file: path }, what: `The original of ${file.path} is missing`, do: "Take it from a backup of the book" });
  const bytes = readFileSync(path);
  if (sha256Of(bytes) !== file.sha256)
    throw new UnusableInput({
      at: { file: path },
      what: `The original of ${file.path} is damaged: its content no longer fits its hash`,
      do: "Take it from a backup of the book",
    });
  return bytes;
}

// --- what the whole book remembers --------------------------------------------------------------------------------

export function bookJournalPath(book: Book): string {
  return join(book.folder, "journal.ndjson");
}

export function readBookJournal(book: Book): { readonly events: readonly JournalEvent[]; readonly problems: readonly Problem[] } {
  return readJournal(bookJournalPath(book));
}

export function recordBookEvent<Kind extends BookEventKind>(
  book: Book,
  kind: Kind,
  data: BookEvents[Kind],
  why?: string,
): JournalEvent<Kind, BookEvents[Kind]> {
  const path = bookJournalPath(book);
  return guarded(path, () => withLock(book.folder, book.now(), () => appendEvent(book.disk, path, { at: book.now(), by: book.by, kind, data, why })));
}
