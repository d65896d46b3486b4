import { readFileSync } from "node:fs";
import { join } from "node:path";
import { UnusableInput } from "../base/index.ts";
import { durationS, type Recording } from "../core/recordings/index.ts";
import type { Book } from "./book.ts";
import { contentPath, readContent, readOriginal, sha256Of } from "./content.ts";
import { partPath, settlePart } from "./durable.ts";
import type { KeptFile, KeptRecording } from "./events.ts";
import { jobFolder, readJob, recordJobEvent } from "./jobs.ts";
import { readParquet, writeParquet } from "./parquet.ts";
import { guardedLater } from "./refusal.ts";

/** A recording and the hash of the original it was read from. */
export interface ReadOriginal {
  readonly original: string;
  readonly recording: Recording;
}

/**
 * Lays recordings down as columns beside their originals, for any program that reads Parquet, and enters them in the journal. A
 * recording that lies there already with the same content is not entered again.
 *
 * @returns one entry for each recording, in the order given
 */
export async function keepRecordings(book: Book, slug: string, recordings: readonly ReadOriginal[]): Promise<readonly KeptRecording[]> {
  const kept: KeptRecording[] = [];
  for (const { original, recording } of recordings) kept.push(await layDown(book, slug, original, recording));
  const known = new Set(readJob(book, slug).state.recordings.map(keyOf));
  const fresh = kept.filter((one) => !known.has(keyOf(one)));
  if (fresh.length > 0) recordJobEvent(book, slug, "recordings.kept", { recordings: fresh });
  return kept;
}

/** As `keepRecordings`, for one. @param original  hash of the original */
export async function keepRecording(book: Book, slug: string, original: string, recording: Recording): Promise<KeptRecording> {
  const [kept] = await keepRecordings(book, slug, [{ original, recording }]);
  return kept!;
}

async function layDown(book: Book, slug: string, original: string, recording: Recording): Promise<KeptRecording> {
  const beside = partPath(join(jobFolder(book, slug), "recordings", original));
  return guardedLater(beside, async () => {
    await writeParquet(beside, recording, original);
    const sha256 = sha256Of(readFileSync(beside));
    settlePart(book.disk, beside, parquetPath(book, slug, sha256));
    const signals = Object.values(recording.channels).map(({ source, signal }) => [source, signal] as const);
    return {
      path: recording.file,
      original,
      sha256,
      rows: recording.timeS.length,
      durationS: durationS(recording),
      signals: Object.fromEntries(signals.sort(([a], [b]) => (a < b ? -1 : 1))),
    };
  });
}

/** A recording from its columns. @throws UnusableInput when they are missing, or no longer what was laid down */
export async function readKeptRecording(book: Book, slug: string, kept: Pick<KeptRecording, "path" | "sha256">): Promise<Recording> {
  const path = parquetPath(book, slug, kept.sha256);
  readContent(path, kept.sha256, `The column file of ${kept.path}`);
  return (await readParquet(path)).recording;
}

/**
 * A recording from its columns where they are whole, else from the original; then the columns are made again. A folder that cannot be
 * written costs only that.
 *
 * @param read  reads the original as a recording
 * @throws UnusableInput when the original is missing or damaged as well
 */
export async function recordingOf(book: Book, slug: string, file: KeptFile, read: (bytes: Uint8Array) => Recording): Promise<Recording> {
  const kept = readJob(book, slug).state.recordings.find((one) => one.path === file.path && one.original === file.sha256);
  if (kept !== undefined) {
    const recording = await unlessUnusable(() => readKeptRecording(book, slug, kept));
    if (recording !== undefined) return recording;
  }
  const recording = read(readOriginal(book, slug, file));
  await unlessUnusable(() => keepRecording(book, slug, file.sha256, recording));
  return recording;
}

async function unlessUnusable<T>(work: () => Promise<T>): Promise<T | undefined> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof UnusableInput) return undefined;
    throw error;
  }
}

function parquetPath(book: Book, slug: string, sha256: string): string {
  return contentPath(book, slug, "recordings", sha256, ".parquet");
}

function keyOf(kept: KeptRecording): string {
  return `${kept.path}\n${kept.original}\n${kept.sha256}`;
}
