import { createHash, randomBytes } from "node:crypto";
import { closeSync, fsyncSync, ftruncateSync, mkdirSync, openSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeSync } from "node:fs";
import { hostname } from "node:os";
import { basename, dirname, join } from "node:path";

/** What the book asks of a disk. Tests hand in one that fails at a chosen step; everyone else uses `realDisk`. */
export interface Disk {
  open(path: string, flags: string): number;
  write(fd: number, bytes: Uint8Array): void;
  sync(fd: number): void;
  truncate(fd: number, length: number): void;
  close(fd: number): void;
  rename(from: string, to: string): void;
  syncFolder(path: string): void;
}

/** A virus scanner or a sync client may hold a file for a moment; a rename is tried again for about a second. */
const HELD_CODES = new Set(["EPERM", "EACCES", "EBUSY"]);
const RENAME_TRIES = 7;

export const realDisk: Disk = {
  open: (path, flags) => openSync(path, flags),
  write(fd, bytes) {
    for (let at = 0; at < bytes.length; ) at += writeSync(fd, bytes, at);
  },
  sync: (fd) => fsyncSync(fd),
  truncate: (fd, length) => ftruncateSync(fd, length),
  close: (fd) => closeSync(fd),
  rename(from, to) {
    for (let tries = 1; ; tries++) {
      try {
        renameSync(from, to);
        return;
      } catch (error) {
        if (process.platform !== "win32" || tries >= RENAME_TRIES || !HELD_CODES.has((error as NodeJS.ErrnoException).code ?? "")) throw error;
        pauseMs(10 * 2 ** tries);
      }
    }
  },
  syncFolder(path) {
    // A folder cannot be opened for syncing on every system; where it can, the rename must reach the disk too.
    try {
      const fd = openSync(path, "r");
      try {
        fsyncSync(fd);
      } finally {
        closeSync(fd);
      }
    } catch {
      // Nothing to do: such systems order the rename themselves.
    }
  },
};

/** Waits without letting anything else run: only for moments, and only where a caller is synchronous by nature. */
export function pauseMs(ms: number): void {
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, ms);
}

// --- files that are written whole -------------------------------------------------------------------------------------

const HOST_MARK = createHash("sha256").update(hostname()).digest("hex").slice(0, 6);
const PART_NAME = /\.([0-9a-f]{6})-(\d+)-[0-9a-f]{8}\.part$/;
/** A part of another machine may still be growing there; after a day it is not. */
const FOREIGN_PART_MS = 24 * 3600 * 1000;

/** A name beside a file that no other writer takes: it says which machine and process writes it, so that leftovers can be told. */
export function partPath(path: string): string {
  return `${path}.${HOST_MARK}-${process.pid}-${randomBytes(4).toString("hex")}.part`;
}

/** Writes a whole file so that a reader sees the old one or the new one, never half of either, also after a power cut. */
export function writeWhole(disk: Disk, path: string, bytes: Uint8Array): void {
  const beside = partPath(path);
  mkdirSync(dirname(path), { recursive: true });
  let whole = false;
  try {
    const fd = disk.open(beside, "wx");
    try {
      disk.write(fd, bytes);
      disk.sync(fd);
    } finally {
      disk.close(fd);
    }
    disk.rename(beside, path);
    whole = true;
  } finally {
    if (!whole) rmSync(beside, { force: true });
  }
  disk.syncFolder(dirname(path));
}

/** Puts a part that another library has written into place: synced, then renamed. On failure the part is removed. */
export function settlePart(disk: Disk, beside: string, path: string): void {
  let whole = false;
  try {
    const fd = disk.open(beside, "r+");
    try {
      disk.sync(fd);
    } finally {
      disk.close(fd);
    }
    disk.rename(beside, path);
    whole = true;
  } finally {
    if (!whole) rmSync(beside, { force: true });
  }
  disk.syncFolder(dirname(path));
}

/** Removes what killed writers of this machine left half-written in a folder; a folder that cannot be written is left as it is. */
export function sweepParts(folder: string): readonly string[] {
  const swept: string[] = [];
  for (const name of namesIn(folder)) {
    const match = PART_NAME.exec(name);
    if (match === null) continue;
    const path = join(folder, name);
    const isOurs = match[1] === HOST_MARK;
    if (isOurs ? isAlive(Number(match[2])) : !isOlderThan(path, FOREIGN_PART_MS)) continue;
    try {
      rmSync(path, { recursive: true, force: true });
      swept.push(basename(path));
    } catch {
      // It takes room and does no harm.
    }
  }
  return swept;
}

export function isPart(name: string): boolean {
  return name.endsWith(".part");
}

export function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder).sort();
  } catch (error) {
    if (["ENOENT", "ENOTDIR"].includes((error as NodeJS.ErrnoException).code ?? "")) return [];
    throw error;
  }
}

function isOlderThan(path: string, ms: number): boolean {
  const made = statSync(path, { throwIfNoEntry: false });
  return made !== undefined && Date.now() - made.mtimeMs > ms;
}

export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}

// --- files that only grow ----------------------------------------------------------------------------------------------

/**
 * Appends bytes and waits until they are on the disk. When anything fails, the file is cut back to where it was, so that
 * an append is there wholly or not at all.
 */
export function appendWhole(disk: Disk, path: string, bytes: Uint8Array): void {
  mkdirSync(dirname(path), { recursive: true });
  const before = sizeOf(path);
  const fd = disk.open(path, "a");
  try {
    try {
      disk.write(fd, bytes);
      disk.sync(fd);
    } catch (error) {
      throw cutBack(disk, fd, before) ? error : Object.assign(error as Error, { isUnsure: true });
    }
  } finally {
    disk.close(fd);
  }
  if (before === 0) disk.syncFolder(dirname(path));
}

/**
 * A disk that refuses even the cut leaves a torn line, which the next reading tells and the next entry sets aside; or a whole one, of
 * which nobody knows whether it will be there after a power cut. @returns whether the bytes are gone
 */
function cutBack(disk: Disk, fd: number, length: number): boolean {
  try {
    disk.truncate(fd, length);
    return true;
  } catch {
    return false; // The error that led here is the one to tell.
  }
}

export function sizeOf(path: string): number {
  return statSync(path, { throwIfNoEntry: false })?.size ?? 0;
}

export function readIfThere(path: string): Uint8Array | undefined {
  return statSync(path, { throwIfNoEntry: false })?.isFile() ? readFileSync(path) : undefined;
}
