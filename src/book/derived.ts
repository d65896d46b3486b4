import { rmSync, statSync } from "node:fs";
import { join } from "node:path";
import type { Book } from "./book.ts";
import { sha256Of } from "./content.ts";
import { namesIn, readIfThere, writeWhole } from "./durable.ts";
import { jobFolder } from "./jobs.ts";
import { DERIVED } from "./layout.ts";

const SUM_BYTES = 32;
/** Of one kind of derived file so many are kept: the present one and a few that an undo may bring back. */
const MOST_KEPT = 6;

/** A result that was worked out before, by the name of its inputs; undefined when it is not there or not whole. */
export function derivedOf<T>(book: Book, slug: string, name: string, read: (bytes: Uint8Array) => T): T | undefined {
  const bytes = readIfThere(join(jobFolder(book, slug), DERIVED, name));
  if (bytes === undefined || bytes.length < SUM_BYTES) return undefined;
  const body = bytes.subarray(SUM_BYTES);
  if (sha256Of(body) !== Buffer.from(bytes.subarray(0, SUM_BYTES)).toString("hex")) return undefined;
  try {
    return read(body);
  } catch {
    return undefined; // Written by a program that laid it down otherwise: it is made again.
  }
}

/** Keeps a result that can be made again. A disk that refuses it is no error: the next one who asks waits once more. */
export function keepDerived(book: Book, slug: string, name: string, body: Uint8Array, ofKind: RegExp): void {
  const folder = join(jobFolder(book, slug), DERIVED);
  try {
    writeWhole(book.disk, join(folder, name), Buffer.concat([Buffer.from(sha256Of(body), "hex"), body]));
    const others = namesIn(folder).filter((other) => ofKind.test(other) && other !== name);
    const age = (other: string): number => statSync(join(folder, other), { throwIfNoEntry: false })?.mtimeMs ?? 0;
    const oldestFirst = others.sort((a, b) => age(a) - age(b));
    for (const old of oldestFirst.slice(0, Math.max(0, others.length - MOST_KEPT + 1))) rmSync(join(folder, old), { force: true });
  } catch {
    // Told by whoever writes what cannot be made again.
  }
}
