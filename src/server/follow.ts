import { closeSync, openSync, readdirSync, readSync, realpathSync, statSync } from "node:fs";
import { basename, extname, isAbsolute, join } from "node:path";
import type { WatchView } from "../api/index.ts";
import { UnusableInput } from "../base/index.ts";
import { type RecordingContext, readRecording } from "../formats/index.ts";
import { type Place, placesOf } from "./dwell.ts";

const KINDS = [".csv", ".txt", ".tsv", ".log"];
const MOST_LISTED = 12;
/** The head of a file stands before each piece that is read of its tail, so that columns, units and clock are found alike [bytes]. */
const HEAD_BYTES = 24 * 1024;
/** A piece read at once; a long file is caught up with in several [bytes]. */
const PIECE_BYTES = 8 * 1024 * 1024;
const NEWLINE = 10;

/** A folder that the person named, as it really lies on the disk. @throws UnusableInput when there is none */
export function watchedFolder(folder: string): string {
  const refused = (what: string): UnusableInput =>
    new UnusableInput({ at: { file: folder }, what, do: "Give the folder into which the logger writes, from the root" });
  if (!isAbsolute(folder)) throw refused("The folder is not given from the root");
  try {
    const real = realpathSync(folder);
    if (statSync(real).isDirectory()) return real;
  } catch {
    throw refused("There is no such folder");
  }
  throw refused("This is a file, not a folder");
}

/** Recordings in a folder, newest first. */
export function recordingsIn(folder: string): WatchView["files"] {
  return readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isFile() && KINDS.includes(extname(entry.name).toLowerCase()))
    .flatMap((entry) => {
      const about = statSync(join(folder, entry.name), { throwIfNoEntry: false });
      return about === undefined ? [] : [{ name: entry.name, bytes: about.size, changedAt: about.mtime.toISOString() }];
    })
    .sort((a, b) => (a.changedAt > b.changedAt ? -1 : 1))
    .slice(0, MOST_LISTED);
}

/** A file right in the folder; nothing else can be followed. @throws UnusableInput for a name that leads anywhere else */
export function fileIn(folder: string, name: string): string {
  const path = join(folder, name);
  const isPlain = name !== "" && basename(name) === name && name !== "." && name !== ".." && !name.includes("\\");
  if (isPlain && KINDS.includes(extname(name).toLowerCase()) && isRealFile(path)) return path;
  throw new UnusableInput({ at: { file: name }, what: "The folder holds no recording of that name", do: "Choose one of those listed" });
}

function isRealFile(path: string): boolean {
  try {
    return statSync(path).isFile() && realpathSync(path) === path;
  } catch {
    return false;
  }
}

export interface Heard {
  /** Rows since the last look, the last known one before them first. */
  readonly places: readonly Place[];
  readonly rows: number;
  /** Set when the file cannot be followed (yet), in words. */
  readonly says?: string;
  /**
   * Set with the first rows of a file that was begun anew under the same name: `again` when it is the same recording written once more
   * (what was counted of it no longer stands), `next` when another one has taken its name.
   */
  readonly begun?: "again" | "next";
}

/** Reads a recording while it is written: each look reads only what was added since, whole lines only. */
export function follower(path: string, context: RecordingContext): () => Heard {
  let head = new Uint8Array(0);
  let headRows = 0;
  let at = 0;
  let rows = 0;
  let last: Place | undefined;
  let inode = 0;
  let earlier: Uint8Array | undefined;
  return () => {
    const about = statSync(path, { throwIfNoEntry: false });
    const size = about?.size ?? 0;
    const isReplaced = about !== undefined && inode !== 0 && about.ino !== inode && !beginsWith(path, head);
    if (about !== undefined) inode = about.ino;
    if (about !== undefined && (size < at || isReplaced)) {
      if (head.length > 0) earlier = head;
      [head, headRows, at, rows, last] = [new Uint8Array(0), 0, 0, 0, undefined];
    }
    const piece = wholeLines(path, at, Math.min(size, at + PIECE_BYTES));
    if (piece.length === 0) return { places: [], rows };
    try {
      const { recording } = readRecording(basename(path), joined(head, piece), context);
      const places = placesOf(recording).slice(headRows);
      if (places.length === 0 && recording.timeS.length > headRows)
        return { places: [], rows, says: "The recording has no engine speed or no manifold pressure: it cannot be told where the engine is." };
      if (head.length === 0) [head, headRows] = headOf(basename(path), piece, context);
      at += piece.length;
      rows += places.length;
      const fresh = last === undefined ? places : [last, ...places];
      last = places.at(-1) ?? last;
      const begun = earlier === undefined ? undefined : isBeginningOf(earlier, head) ? "again" : "next";
      earlier = undefined;
      return { places: fresh, rows, ...(begun === undefined ? {} : { begun }) };
    } catch (error) {
      if (!(error instanceof UnusableInput)) throw error;
      return { places: [], rows, says: "Waiting for the first rows." };
    }
  };
}

/** Whether a file begins with these bytes: some loggers write the whole file beside the old one and put it in its place. */
function beginsWith(path: string, bytes: Uint8Array): boolean {
  return bytes.length > 0 && isBeginningOf(bytes, wholeLines(path, 0, bytes.length));
}

function isBeginningOf(a: Uint8Array, b: Uint8Array): boolean {
  const length = Math.min(a.length, b.length);
  return length > 0 && Buffer.compare(a.subarray(0, length), b.subarray(0, length)) === 0;
}

/** The lines from `from` on that are written to their end. */
function wholeLines(path: string, from: number, to: number): Uint8Array {
  if (to <= from) return new Uint8Array(0);
  const file = openSync(path, "r");
  try {
    const bytes = Buffer.alloc(to - from);
    const read = readSync(file, bytes, 0, bytes.length, from);
    const kept = bytes.subarray(0, read);
    return new Uint8Array(kept.subarray(0, kept.lastIndexOf(NEWLINE) + 1));
  } finally {
    closeSync(file);
  }
}

/** The first lines of a file and how many rows they hold. */
function headOf(file: string, bytes: Uint8Array, context: RecordingContext): [Uint8Array<ArrayBuffer>, number] {
  const cut = bytes.length <= HEAD_BYTES ? bytes.length : bytes.lastIndexOf(NEWLINE, HEAD_BYTES) + 1;
  const head = new Uint8Array(bytes.subarray(0, cut));
  return [head, readRecording(file, head, context).recording.timeS.length];
}

function joined(a: Uint8Array, b: Uint8Array): Uint8Array {
  const all = new Uint8Array(a.length + b.length);
  all.set(a);
  all.set(b, a.length);
  return all;
}
