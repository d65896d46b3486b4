import { closeSync, fsyncSync, ftruncateSync, mkdirSync, openSync, readFileSync, renameSync, rmSync, statSync, writeSync } from "node:fs";
import { dirname } from "node:path";

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

export const realDisk: Disk = {
  open: (path, flags) => openSync(path, flags),
  write(fd, bytes) {
    for (let at = 0; at < bytes.length; ) at += writeSync(fd, bytes, at);
  },
  sync: (fd) => fsyncSync(fd),
  truncate: (fd, length) => ftruncateSync(fd, length),
  close: (fd) => closeSync(fd),
  rename: (from, to) => renameSync(from, to),
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

/** Writes a whole file so that a reader sees the old one or the new one, never half of either, also after a power cut. */
export function writeWhole(disk: Disk, path: string, bytes: Uint8Array): void {
  const beside = `${path}.${process.pid}.part`;
  mkdirSync(dirname(path), { recursive: true });
  const fd = disk.open(beside, "w");
  let whole = false;
  try {
    disk.write(fd, bytes);
    disk.sync(fd);
    whole = true;
  } finally {
    disk.close(fd);
    if (!whole) rmSync(beside, { force: true });
  }
  disk.rename(beside, path);
  disk.syncFolder(dirname(path));
}

/**
 * Appends bytes and waits until they are on the disk. When anything fails, the file is cut back to where it was, so that
 * an append is there wholly or not at all.
 */
export function appendWhole(disk: Disk, path: string, bytes: Uint8Array): void {
  mkdirSync(dirname(path), { recursive: true });
  const isNew = sizeOf(path) === 0;
  const before = sizeOf(path);
  const fd = disk.open(path, "a");
  try {
    try {
      disk.write(fd, bytes);
      disk.sync(fd);
    } catch (error) {
      disk.truncate(fd, before);
      throw error;
    }
  } finally {
    disk.close(fd);
  }
  if (isNew) disk.syncFolder(dirname(path));
}

export function sizeOf(path: string): number {
  return statSync(path, { throwIfNoEntry: false })?.size ?? 0;
}

export function readIfThere(path: string): Uint8Array | undefined {
  return statSync(path, { throwIfNoEntry: false })?.isFile() ? readFileSync(path) : undefined;
}
