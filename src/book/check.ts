import { readFileSync, statSync } from "node:fs";
import { extname, join } from "node:path";
import type { Problem } from "../base/index.ts";
import type { Book } from "./book.ts";
import { contentPath, originalPath, sha256Of } from "./content.ts";
import { isPart, namesIn } from "./durable.ts";
import type { JobEvent } from "./job-state.ts";
import { jobFolder, jobSlugs } from "./jobs.ts";
import { type JournalEvent, type JournalReading, readJournal } from "./journal.ts";
import { BOOK_FILE, CONTENT_FOLDERS, DERIVED, JOBS, JOURNAL } from "./layout.ts";
import { type LockOwner, lockOwner } from "./lock.ts";

/** What a look at every byte of a book found. */
export interface BookCheck {
  readonly jobs: number;
  /** Entries of all journals that are whole. */
  readonly entries: number;
  /** Originals, table sheets and recordings, and their bytes. */
  readonly files: number;
  readonly bytes: number;
  /** What is there and no longer what it was. */
  readonly damaged: readonly Problem[];
  /** What an entry speaks of and is not there. */
  readonly missing: readonly Problem[];
  /** What is there and no entry speaks of: takes room and does no harm. */
  readonly leftOver: readonly Problem[];
  /** Who holds the book at this moment. */
  readonly lockedBy?: LockOwner;
}

type Draft = { -readonly [Key in keyof BookCheck]: BookCheck[Key] extends readonly Problem[] ? Problem[] : BookCheck[Key] };

const FROM_BACKUP = "Take it from a backup of the book";
const FROM_ORIGINAL = "Nothing is lost: it is made again from the original when the recording is next opened";

/** Nothing is damaged and nothing missing. What is left over is no harm. */
export function isSound(check: BookCheck): boolean {
  return check.damaged.length === 0 && check.missing.length === 0;
}

/** Reads every journal line and every kept file of a book and holds it to its sum or hash. Changes nothing. */
export function checkBook(book: Book, options: { readonly onProgress?: (text: string, share: number) => void } = {}): BookCheck {
  const check: Draft = { jobs: 0, entries: 0, files: 0, bytes: 0, damaged: [], missing: [], leftOver: [], lockedBy: lockOwner(book.folder) };
  checkJournal(check, join(book.folder, JOURNAL), book.layout);
  const slugs = jobSlugs(book);
  const known = new Set([BOOK_FILE, JOURNAL, JOBS, "lock"]);
  lookOver(check, book.folder, (name) => known.has(name));
  const headless = namesIn(join(book.folder, JOBS)).filter((name) => !slugs.includes(name) && hasContent(join(book.folder, JOBS, name)));
  for (const name of headless)
    check.missing.push({
      at: { file: join(book.folder, JOBS, name, JOURNAL) },
      what: "The journal of this job is missing",
      do: `${FROM_BACKUP}; its files are there`,
    });
  lookOver(check, join(book.folder, JOBS), (name) => slugs.includes(name) || headless.includes(name));
  slugs.forEach((slug, i) => {
    options.onProgress?.(`checking ${slug}`, i / slugs.length);
    checkJob(check, book, slug);
  });
  check.jobs = slugs.length;
  return check;
}

function hasContent(folder: string): boolean {
  return !isPart(folder) && CONTENT_FOLDERS.some((name) => namesIn(join(folder, name)).length > 0);
}

function checkJob(check: Draft, book: Book, slug: string): void {
  const folder = jobFolder(book, slug);
  const { events } = checkJournal(check, join(folder, JOURNAL), book.layout);
  const known = new Set<string>([JOURNAL, DERIVED, ...CONTENT_FOLDERS]);
  lookOver(check, folder, (name) => known.has(name));
  const named = filesNamedIn(book, slug, events);
  for (const name of CONTENT_FOLDERS) checkContent(check, join(folder, name), named);
  for (const [path, what] of named) {
    if (statSync(path, { throwIfNoEntry: false }) !== undefined) continue;
    check.missing.push({ at: { file: path }, what: `${what} is missing`, do: what.startsWith("The column file") ? FROM_ORIGINAL : FROM_BACKUP });
  }
}

function checkJournal(check: Draft, path: string, layout: number): JournalReading {
  const reading = readJournal(path, layout);
  check.entries += reading.events.length;
  check.damaged.push(...reading.problems, ...outOfOrder(path, reading));
  return reading;
}

/** Numbers go up by one from line to line: anything else was not written by one book. */
function outOfOrder(path: string, { events, lines }: JournalReading): Problem[] {
  for (let i = 1; i < events.length; i++)
    if (events[i]!.number <= events[i - 1]!.number)
      return [
        {
          at: { file: path },
          what: `Entry ${events[i]!.number} follows entry ${events[i - 1]!.number}: two machines wrote into copies of this book, and they were put together`,
          do: "All entries are read in the order of their lines; write in one place at a time, and carry jobs between books by export and import",
        },
      ];
  const last = events.at(-1)?.number ?? 0;
  if (last <= lines) return [];
  return [
    {
      at: { file: path },
      what: `Between the entries ${last - lines} ${last - lines === 1 ? "is" : "are"} missing`,
      do: "Take the journal from a backup of the book that has them",
    },
  ];
}

/** Every file that an entry speaks of, undone ones too: an undo may be taken back. */
function filesNamedIn(book: Book, slug: string, events: readonly JournalEvent[]): ReadonlyMap<string, string> {
  const named = new Map<string, string>();
  const table = (sha256: string, title: string): unknown => named.set(contentPath(book, slug, "tables", sha256, ".csv"), `The sheet of ${title}`);
  for (const { kind, data } of events as readonly JobEvent[])
    if (kind === "files.added") for (const file of data.files) named.set(originalPath(book, slug, file.sha256, file.path), `The original of ${file.path}`);
    else if (kind === "revision.made") for (const { sha256, title } of data.tables) table(sha256, title);
    else if (kind === "change.decided" && data.proposal !== undefined) table(data.proposal.sheet, `the proposal for ${data.role}`);
    else if (kind === "recordings.kept")
      for (const one of data.recordings) named.set(contentPath(book, slug, "recordings", one.sha256, ".parquet"), `The column file of ${one.path}`);
  return named;
}

function checkContent(check: Draft, folder: string, named: ReadonlyMap<string, string>): void {
  lookOver(check, folder, (name) => /^[0-9a-f]{64}(\.[a-z0-9]{1,10})?$/.test(name));
  for (const name of namesIn(folder)) {
    const sha256 = /^([0-9a-f]{64})(\.[a-z0-9]{1,10})?$/.exec(name)?.[1];
    if (sha256 === undefined) continue;
    const path = join(folder, name);
    const bytes = readFileSync(path);
    check.files++;
    check.bytes += bytes.length;
    const what = named.get(path);
    if (sha256Of(bytes) !== sha256)
      check.damaged.push({
        at: { file: path },
        what: `${what ?? "This file"} is damaged: its content no longer fits its hash`,
        do: extname(name) === ".parquet" ? FROM_ORIGINAL : `${FROM_BACKUP}, or add the same file again`,
      });
    else if (what === undefined)
      check.leftOver.push({
        at: { file: path },
        what: "No entry speaks of this file: the work that brought it was cut off, or its entry was lost",
        do: "Delete it when nobody misses it",
      });
  }
}

// --- what else lies about ----------------------------------------------------------------------------------------------

const EXPLAINED: readonly (readonly [(name: string) => boolean, string, string])[] = [
  [isPart, "This was half-written when its writer stopped", "The next opening of the book removes it"],
  [
    (name) => name.includes(".torn-at-"),
    "This is the end of a line whose write did not finish; it was never confirmed",
    "Look whether you miss anything, then delete it",
  ],
  [(name) => name.endsWith(".layout-0"), "This is a file as it was in the older layout", "Delete it when the book has proved itself"],
  [
    (name) => name.startsWith("lock.over-"),
    "This is the right to take over a lock, left by a process that was killed",
    "Delete it while nobody works in the book",
  ],
];
/** Of the systems that show folders, not of the book. */
const FOREIGN = /^(\.|Thumbs\.db$|desktop\.ini$)/i;

function lookOver(check: Draft, folder: string, isKnown: (name: string) => boolean): void {
  for (const name of namesIn(folder)) {
    if (isKnown(name) || FOREIGN.test(name)) continue;
    const [, what, cure] = EXPLAINED.find(([fits]) => fits(name)) ?? [
      undefined,
      "This is not of the book; a program that syncs folders may have set it beside when two machines wrote at once",
      "Compare it with the file that it resembles, then delete it",
    ];
    check.leftOver.push({ at: { file: join(folder, name) }, what, do: cure });
  }
}
