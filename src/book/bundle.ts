import { createHash } from "node:crypto";
import { createReadStream, createWriteStream, existsSync, mkdirSync, readFileSync, renameSync, rmSync, statSync } from "node:fs";
import { dirname, join } from "node:path";
import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { createGunzip, createGzip } from "node:zlib";
import { type Problem, UnusableInput } from "../base/index.ts";
import { type Book, writing } from "./book.ts";
import { namesIn, partPath, settlePart, writeWhole } from "./durable.ts";
import { freeSlug, jobFolder, jobSlugs, journalPath, readJob } from "./jobs.ts";
import { type JournalReading, parseJournal, withSums } from "./journal.ts";
import { BOOK_SCHEMA, CONTENT_FOLDERS, JOBS, JOURNAL } from "./layout.ts";
import { guardedLater } from "./refusal.ts";
import { readTar, type TarMember, tarEnd, tarHeader, tarPadding } from "./tar.ts";

const BUNDLE_SCHEMA = 1;
const MANIFEST = "job.json";
/** Room for some 200,000 files: what claims more is no list of files. */
const MOST_MANIFEST_BYTES = 32 * 1024 * 1024;
/** Files that a job consists of; nothing else goes out or comes in. What can be made again and what was half-written stays. */
const OWN_FILE =
  /^(journal\.ndjson(\.torn-at-\d{1,15}|\.layout-0)?|originals\/[0-9a-f]{64}(\.[a-z0-9]{1,10})?|tables\/[0-9a-f]{64}\.csv|recordings\/[0-9a-f]{64}\.parquet)$/;

interface FileEntry {
  /** Within the job's folder, forward slashes. */
  readonly path: string;
  readonly bytes: number;
  readonly sha256: string;
}

interface Manifest {
  readonly schema: string;
  readonly slug: string;
  readonly title: string;
  /** Layout of the journal within. */
  readonly layout: number;
  readonly files: readonly FileEntry[];
}

export interface Exported {
  readonly slug: string;
  readonly path: string;
  readonly files: number;
  readonly bytes: number;
  /** Damage that travels along: it is told, and the rest is not held back for it. */
  readonly problems: readonly Problem[];
}

/** What an imported job was to the book. `parted`: both here and there entries were made since, so that it now lies beside the other. */
export type Acquaintance = "new" | "same" | "newer" | "older" | "parted";

export interface Imported {
  readonly slug: string;
  readonly title: string;
  readonly was: Acquaintance;
  /** Short name of the job in the book that is the same one, when there is. */
  readonly sameAs?: string;
  readonly entries: number;
  readonly files: number;
  readonly problems: readonly Problem[];
}

// --- out --------------------------------------------------------------------------------------------------------------

/**
 * Writes a whole job as one file: a gzip of a POSIX ustar archive, the list of files with their hashes first. Same job, same bytes on
 * the same machine. @throws UnusableInput when there is no such job or the file cannot be written
 */
export async function exportJob(book: Book, slug: string, path: string): Promise<Exported> {
  const { state, problems: lines } = readJob(book, slug);
  const folder = jobFolder(book, slug);
  const journal = wholeJournal(book, slug);
  const files: FileEntry[] = [{ path: JOURNAL, bytes: journal.length, sha256: createHash("sha256").update(journal).digest("hex") }];
  const problems = [...lines];
  for (const name of ownFiles(folder)) {
    const entry = { path: name, ...(await measure(join(folder, name))) };
    problems.push(...unlikeItsName(join(folder, name), entry));
    files.push(entry);
  }
  const manifest: Manifest = { schema: `fettle.job/${BUNDLE_SCHEMA}`, slug, title: state.title, layout: BOOK_SCHEMA, files };
  const beside = partPath(path);
  await guardedLater(path, async () => {
    mkdirSync(dirname(path), { recursive: true });
    try {
      await pipeline(Readable.from(archiveOf(manifest, journal, folder)), createGzip(), createWriteStream(beside, { flags: "wx" }));
    } catch (error) {
      rmSync(beside, { force: true });
      throw error;
    }
    settlePart(book.disk, beside, path);
  });
  return { slug, path, files: files.length, bytes: statSync(path).size, problems };
}

/** The journal up to its last whole line, as this program's layout has it. */
function wholeJournal(book: Book, slug: string): Uint8Array {
  const path = journalPath(book, slug);
  const bytes = readFileSync(path);
  const whole = bytes.subarray(0, parseJournal(path, bytes, book.layout).wholeBytes);
  return book.layout < BOOK_SCHEMA ? withSums(whole) : whole;
}

/** Files of a job but for its journal, in order of path. */
function ownFiles(folder: string): readonly string[] {
  const inFolder = CONTENT_FOLDERS.flatMap((name) => namesIn(join(folder, name)).map((file) => `${name}/${file}`));
  return [...namesIn(folder), ...inFolder].filter((name) => name !== JOURNAL && OWN_FILE.test(name)).sort();
}

async function measure(path: string): Promise<{ readonly bytes: number; readonly sha256: string }> {
  const hash = createHash("sha256");
  let bytes = 0;
  for await (const chunk of createReadStream(path) as AsyncIterable<Uint8Array>) {
    hash.update(chunk);
    bytes += chunk.length;
  }
  return { bytes, sha256: hash.digest("hex") };
}

function unlikeItsName(at: string, { path, sha256 }: FileEntry): Problem[] {
  const named = /\/([0-9a-f]{64})/.exec(path)?.[1];
  if (named === undefined || named === sha256) return [];
  return [
    {
      at: { file: at },
      what: "This file is damaged: its content no longer fits its hash",
      do: "Take it from a backup of the book, or add the same file again",
    },
  ];
}

async function* archiveOf(manifest: Manifest, journal: Uint8Array, folder: string): AsyncGenerator<Uint8Array> {
  const head = new TextEncoder().encode(`${JSON.stringify(manifest, null, 1)}\n`);
  yield* memberOf({ name: MANIFEST, bytes: head.length }, [head]);
  for (const { path: name, bytes } of manifest.files) yield* memberOf({ name, bytes }, name === JOURNAL ? [journal] : createReadStream(join(folder, name)));
  yield tarEnd();
}

async function* memberOf(member: TarMember, content: Iterable<Uint8Array> | AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array> {
  yield tarHeader(member);
  let written = 0;
  for await (const piece of content) {
    written += piece.length;
    yield piece;
  }
  if (written !== member.bytes)
    throw new UnusableInput({ at: { file: member.name }, what: "This file changed while it was written out", do: "Export the job again" });
  yield tarPadding(member.bytes);
}

// --- in ---------------------------------------------------------------------------------------------------------------

/**
 * Brings in a job that `exportJob` wrote, byte for byte. Everything is checked before anything of the book changes.
 *
 * A job that is in the book already is known by its first entry: the same or an older state changes nothing (but mends files that are
 * missing or damaged here), a newer one brings the job forward, and one that went its own way comes in beside under a new short name.
 *
 * @throws UnusableInput when the file is damaged, no such file, or made by a newer program; the book is then as before
 */
export async function importJob(book: Book, path: string): Promise<Imported> {
  if (!existsSync(path) || !statSync(path).isFile())
    throw new UnusableInput({ at: { file: path }, what: "There is no such file", do: "Give the file that an export of a job wrote" });
  const staged = partPath(join(book.folder, JOBS, "incoming"));
  try {
    return await guardedLater(path, async () => {
      mkdirSync(staged, { recursive: true });
      const manifest = await unpack(book, path, staged);
      return writing(book, path, () => settle(book, manifest, staged));
    });
  } finally {
    rmSync(staged, { recursive: true, force: true });
  }
}

async function unpack(book: Book, path: string, staged: string): Promise<Manifest> {
  const unzipped = createReadStream(path)
    .on("error", (error) => unzipped.destroy(error))
    .pipe(createGunzip());
  try {
    return await stageAll(book, path, staged, unzipped);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? "";
    if (code.startsWith("Z_")) throw refused(path, code === "Z_BUF_ERROR" ? "It is cut off before its end" : "It is damaged, or was packed by something else");
    throw error;
  } finally {
    unzipped.destroy();
  }
}

async function stageAll(book: Book, path: string, staged: string, bytes: AsyncIterable<Uint8Array>): Promise<Manifest> {
  let manifest: Manifest | undefined;
  const awaited = new Map<string, FileEntry>();
  let into: Sink | undefined;
  for await (const step of readTar(path, bytes)) {
    if ("file" in step) into = manifest === undefined ? manifestSink(path, step.file) : fileSink(book, path, staged, step.file, awaited);
    else if ("piece" in step) into!.take(step.piece);
    else if (manifest === undefined) {
      manifest = readManifest(path, into!.whole());
      for (const entry of manifest.files) awaited.set(entry.path, entry);
    } else into!.whole();
  }
  if (manifest === undefined) throw refused(path, "It is empty");
  const [missing] = awaited.keys();
  if (missing !== undefined) throw refused(path, `${missing} is not in it`);
  return manifest;
}

/** Where the bytes of one file of the archive go. */
interface Sink {
  take(piece: Uint8Array): void;
  /** Checks that all is there. Of the list of files it returns the bytes. */
  whole(): Uint8Array;
}

function manifestSink(path: string, { name, bytes }: TarMember): Sink {
  if (name !== MANIFEST || bytes > MOST_MANIFEST_BYTES) throw refused(path, "It does not begin with the list of its files");
  const pieces: Uint8Array[] = [];
  return { take: (piece) => pieces.push(piece.slice()), whole: () => Buffer.concat(pieces) };
}

function fileSink(book: Book, path: string, staged: string, { name, bytes }: TarMember, awaited: Map<string, FileEntry>): Sink {
  const entry = awaited.get(name);
  if (entry === undefined) throw refused(path, `"${name}" in it is not on its list`);
  if (entry.bytes !== bytes) throw refused(path, `${name} in it has not the size that its list says`);
  awaited.delete(name);
  const target = join(staged, name);
  mkdirSync(dirname(target), { recursive: true });
  const hash = createHash("sha256");
  const fd = book.disk.open(target, "wx");
  let isOpen = true;
  const close = (): void => {
    if (isOpen) book.disk.close(fd);
    isOpen = false;
  };
  return {
    take(piece) {
      try {
        hash.update(piece);
        book.disk.write(fd, piece);
      } catch (error) {
        close();
        throw error;
      }
    },
    whole() {
      try {
        book.disk.sync(fd);
      } finally {
        close();
      }
      if (hash.digest("hex") !== entry.sha256) throw refused(path, `${name} in it is damaged: its content does not fit its hash`);
      return new Uint8Array(0);
    },
  };
}

/** The list of files, held to what a job may consist of: a name that leads out of the job's folder is on no such list. */
function readManifest(path: string, bytes: Uint8Array): Manifest {
  let manifest: Partial<Manifest>;
  try {
    manifest = JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes)) as Partial<Manifest>;
  } catch {
    throw refused(path, "The list of its files is damaged");
  }
  const version = /^fettle\.job\/(\d{1,6})$/.exec(String(manifest?.schema))?.[1];
  if (version === undefined) throw refused(path, "The list of its files is none of a job");
  const layout = Number(manifest.layout);
  if (Number(version) > BUNDLE_SCHEMA || layout > BOOK_SCHEMA)
    throw new UnusableInput({
      at: { file: path },
      what: "This job was exported by a newer version of the program",
      do: "Import it with that version; nothing was changed",
    });
  const { slug, title, files } = manifest;
  if (typeof slug !== "string" || typeof title !== "string" || layout !== BOOK_SCHEMA || !Array.isArray(files))
    throw refused(path, "The list of its files is damaged");
  const names = new Set<string>();
  for (const file of files as readonly Partial<FileEntry>[]) {
    const name = String(file?.path);
    if (!OWN_FILE.test(name)) throw refused(path, `"${name}" in it is no file of a job`);
    if (names.has(name)) throw refused(path, `${name} is twice on its list`);
    if (!Number.isSafeInteger(file.bytes) || file.bytes! < 0 || !/^[0-9a-f]{64}$/.test(String(file.sha256)))
      throw refused(path, "The list of its files is damaged");
    names.add(name);
  }
  if (!names.has(JOURNAL)) throw refused(path, "It has no journal");
  return { schema: manifest.schema!, slug, title, layout, files };
}

function refused(path: string, what: string): UnusableInput {
  return new UnusableInput({
    at: { file: path },
    what: `This is not a whole job file. ${what}`,
    do: "Export the job again, or copy the file again; nothing was kept",
  });
}

// --- its place in the book ------------------------------------------------------------------------------------------

function settle(book: Book, manifest: Manifest, staged: string): Imported {
  const journal = journalAt(join(staged, JOURNAL));
  if (journal.reading.events.length === 0) throw refused(manifest.slug, "Its journal has no entry");
  const problems = [...journal.reading.problems, ...manifest.files.flatMap((entry) => unlikeItsName(entry.path, entry))];
  const told = { title: manifest.title, entries: journal.reading.events.length, files: manifest.files.length, problems };
  const known = jobSlugs(book)
    .map((slug) => ({ slug, ...acquaintance(journal.lines, journalAt(journalPath(book, slug)).lines) }))
    .filter(({ was }) => was !== "new")
    .sort((a, b) => (a.was === "parted" ? 1 : 0) - (b.was === "parted" ? 1 : 0))[0];
  if (known === undefined || known.was === "parted") {
    const slug = freeSlug(book, manifest.slug);
    book.disk.rename(staged, jobFolder(book, slug));
    book.disk.syncFolder(join(book.folder, JOBS));
    return { slug, was: known?.was ?? "new", ...(known === undefined ? {} : { sameAs: known.slug }), ...told };
  }
  // The files first, then the entries that speak of them.
  bringFiles(manifest, staged, jobFolder(book, known.slug));
  if (known.was === "newer") writeWhole(book.disk, journalPath(book, known.slug), readFileSync(join(staged, JOURNAL)));
  return { slug: known.slug, was: known.was, sameAs: known.slug, ...told };
}

function journalAt(path: string): { readonly reading: JournalReading; readonly lines: readonly string[] } {
  const bytes = readFileSync(path);
  const reading = parseJournal(path, bytes, BOOK_SCHEMA);
  const lines = new TextDecoder().decode(bytes.subarray(0, reading.wholeBytes)).split(/\r?\n/);
  return { reading, lines: lines.slice(0, -1) };
}

/** What a journal that comes in is to one that is here: they are of one job when they begin with the same entry. */
function acquaintance(theirs: readonly string[], ours: readonly string[]): { readonly was: Acquaintance } {
  if (ours.length === 0 || theirs[0] !== ours[0]) return { was: "new" };
  const common = Math.min(theirs.length, ours.length);
  for (let i = 1; i < common; i++) if (theirs[i] !== ours[i]) return { was: "parted" };
  return { was: theirs.length === ours.length ? "same" : theirs.length > ours.length ? "newer" : "older" };
}

/** Moves files into a job that are missing or damaged there. */
function bringFiles(manifest: Manifest, staged: string, folder: string): void {
  for (const entry of manifest.files) {
    if (!entry.path.includes("/") || unlikeItsName("", entry).length > 0) continue;
    const target = join(folder, entry.path);
    if (existsSync(target) && createHash("sha256").update(readFileSync(target)).digest("hex") === entry.sha256) continue;
    mkdirSync(dirname(target), { recursive: true });
    renameSync(join(staged, entry.path), target);
  }
}
