import { execFileSync } from "node:child_process";
import { chmodSync, mkdirSync, writeSync } from "node:fs";
import { type Disk, realDisk } from "../../src/book/index.ts";

export type Step = "open" | "write" | "sync" | "truncate" | "rename";

export interface FaultingDisk extends Disk {
  /** Steps that were asked of it, in order. */
  readonly asked: readonly Step[];
}

function refusal(code: string): Error {
  return Object.assign(new Error(`${code}: made to fail`), { code });
}

/**
 * A disk whose steps fail where `fails` says so. A write that fails has written half of its bytes before, as a disk that fills up does.
 * What lies behind a sync that succeeded cannot be lost by a close or by the sync of a folder: those two never fail here.
 */
export function faultingDisk(code: string, fails: (count: number, step: Step) => boolean): FaultingDisk {
  const asked: Step[] = [];
  const ask = (step: Step): boolean => {
    asked.push(step);
    return fails(asked.length - 1, step);
  };
  const through = <T>(step: Step, work: () => T): T => {
    if (ask(step)) throw refusal(code);
    return work();
  };
  return {
    ...realDisk,
    asked,
    open: (path, flags) => through("open", () => realDisk.open(path, flags)),
    write(fd, bytes) {
      if (ask("write")) {
        writeSync(fd, bytes, 0, bytes.length >> 1);
        throw refusal(code);
      }
      realDisk.write(fd, bytes);
    },
    sync: (fd) => through("sync", () => realDisk.sync(fd)),
    truncate: (fd, length) => through("truncate", () => realDisk.truncate(fd, length)),
    rename: (from, to) => through("rename", () => realDisk.rename(from, to)),
  };
}

/** A disk that takes so many bytes and no more; `room` may be given back. */
export function smallDisk(bytes: number): Disk & { room: number } {
  const disk = {
    ...realDisk,
    room: bytes,
    write(fd: number, piece: Uint8Array): void {
      if (piece.length > disk.room) {
        writeSync(fd, piece, 0, Math.min(disk.room, piece.length >> 1));
        throw refusal("ENOSPC");
      }
      disk.room -= piece.length;
      realDisk.write(fd, piece);
    },
  };
  return disk;
}

/** Mounts a real disk of one megabyte on a folder; false where this may not be done (not root, not Linux). */
export function mountSmallDisk(folder: string): boolean {
  mkdirSync(folder, { recursive: true });
  return succeeds("mount", ["-t", "tmpfs", "-o", "size=1m", "tmpfs", folder]);
}

export function unmount(folder: string): void {
  succeeds("umount", [folder]);
}

/** Makes a folder read-only for this process too; false where nothing can (root without the right to mount). */
export function makeReadOnly(folder: string): boolean {
  if (process.platform === "win32") return false;
  if (process.getuid?.() !== 0) {
    chmodSync(folder, 0o555);
    return true;
  }
  return succeeds("mount", ["--bind", folder, folder]) && succeeds("mount", ["-o", "remount,ro,bind", folder]);
}

function succeeds(command: string, words: readonly string[]): boolean {
  try {
    execFileSync(command, words, { stdio: "ignore" });
    return true;
  } catch {
    return false;
  }
}
