import { UnusableInput } from "../base/index.ts";
import { type Book, isDriven, type KeptRecording, keepRecordings, memoryOf, type ReadOriginal, readJob, readOriginal } from "../book/index.ts";
import { readRecording } from "../formats/index.ts";
import { columnsOf } from "./analyse-job.ts";
import { intakeOf } from "./intake-of.ts";

/**
 * Lays down as columns every recording and sweep of a job that does not lie there yet, read as the analysis reads it. What cannot be
 * read as a recording is passed over: the analysis tells of it.
 *
 * @returns those laid down now
 */
export async function layDownRecordings(
  book: Book,
  slug: string,
  options: { readonly onProgress?: (text: string, share: number) => void } = {},
): Promise<readonly KeptRecording[]> {
  const { state } = readJob(book, slug);
  const memory = memoryOf(book);
  const intake = intakeOf(book, state);
  const known = new Set(state.recordings.map((kept) => `${kept.path}\n${kept.original}`));
  const waiting = state.files.filter((file) => isDriven(file) && /\.(csv|tsv|txt)$/i.test(file.path) && !known.has(`${file.path}\n${file.sha256}`));
  const laid: KeptRecording[] = [];
  for (const [i, file] of waiting.entries()) {
    options.onProgress?.(`laying down ${file.path} as columns`, i / waiting.length);
    const context = { intake, isSweep: file.path.startsWith("pulls/"), columns: columnsOf(state, memory, file.path) };
    const read = readOrNone(() => ({ original: file.sha256, recording: readRecording(file.path, readOriginal(book, slug, file), context).recording }));
    if (read !== undefined) laid.push(...(await keepRecordings(book, slug, [read])));
  }
  return laid;
}

function readOrNone(read: () => ReadOriginal): ReadOriginal | undefined {
  try {
    return read();
  } catch (error) {
    if (error instanceof UnusableInput) return undefined;
    throw error;
  }
}
