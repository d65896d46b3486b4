import { createHash } from "node:crypto";
import { existsSync, readFileSync } from "node:fs";
import { extname, join } from "node:path";
import { UnusableInput } from "../base/index.ts";
import type { Book } from "./book.ts";
import { readIfThere, writeWhole } from "./durable.ts";
import type { KeptFile } from "./events.ts";
import { jobFolder, recordJobEvent } from "./jobs.ts";
import type { ContentFolder } from "./layout.ts";
import { guarded } from "./refusal.ts";

export function sha256Of(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

/** Where content of a hash lies within a job: `originals/<sha256><extension>`. */
export function originalPath(book: Book, slug: string, sha256: string, path: string): string {
  const extension = extname(path).toLowerCase();
  return contentPath(book, slug, "originals", sha256, /^\.[a-z0-9]{1,10}$/.test(extension) ? extension : "");
}

/** Where content lies by its hash. @throws RangeError when the hash is none: it comes from us or from a journal, never from a person */
export function contentPath(book: Book, slug: string, folder: ContentFolder, sha256: string, extension: string): string {
  if (!/^[0-9a-f]{64}$/.test(sha256)) throw new RangeError(`not a hash: ${sha256}`);
  return join(jobFolder(book, slug), folder, `${sha256}${extension}`);
}

/** Keeps content under its hash; what lies there already and is whole is not written again, what is damaged is mended. */
export function keepContent(book: Book, path: string, sha256: string, bytes: Uint8Array): void {
  const there = readIfThere(path);
  if (there !== undefined && there.length === bytes.length && sha256Of(there) === sha256) return;
  guarded(path, () => writeWhole(book.disk, path, bytes));
}

/** Content by its hash. @throws UnusableInput when it is missing or no longer what its hash says */
export function readContent(path: string, sha256: string, what: string): Uint8Array {
  if (!existsSync(path)) throw new UnusableInput({ at: { file: path }, what: `${what} is missing`, do: "Take it from a backup of the book" });
  const bytes = readFileSync(path);
  if (sha256Of(bytes) !== sha256)
    throw new UnusableInput({
      at: { file: path },
      what: `${what} is damaged: its content no longer fits its hash`,
      do: "Take it from a backup of the book, or add the same file again",
    });
  return bytes;
}

/** Keeps files byte for byte and enters them in the journal. @param files `revision`: of the calibration in the controller, 0 as received */
export function addFiles(
  book: Book,
  slug: string,
  files: readonly { readonly path: string; readonly bytes: Uint8Array; readonly revision?: number }[],
  why?: string,
): readonly KeptFile[] {
  const kept = files.map((file): KeptFile => {
    const sha256 = sha256Of(file.bytes);
    keepContent(book, originalPath(book, slug, sha256, file.path), sha256, file.bytes);
    return { path: file.path, sha256, bytes: file.bytes.length, ...(file.revision === undefined ? {} : { revision: file.revision }) };
  });
  recordJobEvent(book, slug, "files.added", { files: kept }, why);
  return kept;
}

/** An original's bytes. @throws UnusableInput when it is missing or no longer what its hash says */
export function readOriginal(book: Book, slug: string, file: Pick<KeptFile, "path" | "sha256">): Uint8Array {
  return readContent(originalPath(book, slug, file.sha256, file.path), file.sha256, `The original of ${file.path}`);
}

/** Keeps a table sheet by its content and returns its hash. */
export function keepTable(book: Book, slug: string, bytes: Uint8Array): string {
  const sha256 = sha256Of(bytes);
  keepContent(book, contentPath(book, slug, "tables", sha256, ".csv"), sha256, bytes);
  return sha256;
}

/** A table sheet's bytes by their hash. @throws UnusableInput when it is missing or damaged */
export function readTable(book: Book, slug: string, sha256: string, title: string): Uint8Array {
  return readContent(contentPath(book, slug, "tables", sha256, ".csv"), sha256, `The sheet of ${title}`);
}
