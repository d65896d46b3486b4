import { existsSync, rmSync } from "node:fs";
import { join } from "node:path";
import { type Problem, UnusableInput } from "../base/index.ts";
import { type Book, writing } from "./book.ts";
import { namesIn, partPath } from "./durable.ts";
import type { BookEventKind, BookEvents, JobEventKind, JobEvents } from "./events.ts";
import { lastUndoable, redoable } from "./fold.ts";
import { foldJob, type JobState } from "./job-state.ts";
import { appendEvent, type JournalEvent, readJournal } from "./journal.ts";
import { JOBS, JOURNAL } from "./layout.ts";

const SLUG = /^[a-z0-9][a-z0-9-]{0,63}$/;

export function jobFolder(book: Book, slug: string): string {
  if (!SLUG.test(slug))
    throw new UnusableInput({ at: { file: slug }, what: "This is not the short name of a job", do: "Take one from the list of jobs (fettle jobs)" });
  return join(book.folder, JOBS, slug);
}

export function journalPath(book: Book, slug: string): string {
  return join(jobFolder(book, slug), JOURNAL);
}

/** Short names of all jobs, sorted. */
export function jobSlugs(book: Book): readonly string[] {
  return namesIn(join(book.folder, JOBS)).filter((name) => SLUG.test(name) && existsSync(join(book.folder, JOBS, name, JOURNAL)));
}

/** A short name from a title that no job has yet: "Rough idle, wagon" → "rough-idle-wagon", then "…-2". */
export function freeSlug(book: Book, title: string): string {
  const plain = title
    .normalize("NFKD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .slice(0, 48)
    .replace(/^-+|-+$/g, "");
  const stem = plain === "" ? "job" : plain;
  for (let i = 1; ; i++) {
    const slug = i === 1 ? stem : `${stem}-${i}`;
    if (!existsSync(join(book.folder, JOBS, slug))) return slug;
  }
}

/** Begins a job and returns its short name. */
export function createJob(book: Book, entry: { readonly title: string; readonly vehicle?: string; readonly again?: string; readonly why?: string }): string {
  return writing(book, book.folder, () => {
    const slug = freeSlug(book, entry.title);
    // Made beside and renamed: a job is there with its first entry or not at all.
    const staged = partPath(jobFolder(book, slug));
    try {
      appendEvent(book.disk, join(staged, JOURNAL), {
        at: book.now(),
        by: book.by,
        kind: "job.created",
        data: { title: entry.title, vehicle: entry.vehicle ?? "", ...(entry.again === undefined ? {} : { again: entry.again }) },
        why: entry.why,
      });
      book.disk.rename(staged, jobFolder(book, slug));
    } finally {
      rmSync(staged, { recursive: true, force: true });
    }
    book.disk.syncFolder(join(book.folder, JOBS));
    return slug;
  });
}

/** A job as it stands, its events and what is damaged. @throws UnusableInput when there is no such job */
export function readJob(
  book: Book,
  slug: string,
): { readonly state: JobState; readonly events: readonly JournalEvent[]; readonly problems: readonly Problem[] } {
  const path = existingJournal(book, slug);
  const { events, problems } = readJournal(path, book.layout);
  return { state: foldJob(slug, events), events, problems };
}

function existingJournal(book: Book, slug: string): string {
  const path = journalPath(book, slug);
  if (!existsSync(path))
    throw new UnusableInput({
      at: { file: slug },
      what: "There is no such job in this book",
      do: "Take a short name from the list of jobs (fettle jobs)",
    });
  return path;
}

/** Adds an event to a job; returns once it is safe on the disk. */
export function recordJobEvent<Kind extends JobEventKind>(
  book: Book,
  slug: string,
  kind: Kind,
  data: JobEvents[Kind],
  why?: string,
): JournalEvent<Kind, JobEvents[Kind]> {
  const path = existingJournal(book, slug);
  return writing(book, path, () => appendEvent(book.disk, path, { at: book.now(), by: book.by, kind, data, why }));
}

/** Undoes the last entry that stands, by a new entry. @returns the entry undone, undefined when nothing is left to undo */
export function undoLast(book: Book, slug: string, why?: string): JournalEvent | undefined {
  const last = lastUndoable(readJob(book, slug).events);
  if (last !== undefined) recordJobEvent(book, slug, "undone", { number: last.number }, why);
  return last;
}

/** Brings back what was undone last, by a new entry; each further call brings back the one undone before. @returns the entry brought back */
export function redoLast(book: Book, slug: string, why?: string): JournalEvent | undefined {
  const { events } = readJob(book, slug);
  const undo = redoable(events);
  if (undo === undefined) return undefined;
  recordJobEvent(book, slug, "undone", { number: undo.number }, why);
  return events.find((event) => event.number === undo.data.number);
}

// --- what the whole book remembers --------------------------------------------------------------------------------

function bookJournalPath(book: Book): string {
  return join(book.folder, JOURNAL);
}

export function readBookJournal(book: Book): { readonly events: readonly JournalEvent[]; readonly problems: readonly Problem[] } {
  return readJournal(bookJournalPath(book), book.layout);
}

export function recordBookEvent<Kind extends BookEventKind>(
  book: Book,
  kind: Kind,
  data: BookEvents[Kind],
  why?: string,
): JournalEvent<Kind, BookEvents[Kind]> {
  const path = bookJournalPath(book);
  return writing(book, path, () => appendEvent(book.disk, path, { at: book.now(), by: book.by, kind, data, why }));
}
