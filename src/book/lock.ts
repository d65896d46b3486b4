import { closeSync, fsyncSync, openSync, readFileSync, renameSync, rmSync, statSync, writeSync } from "node:fs";
import { hostname, userInfo } from "node:os";
import { join } from "node:path";
import { UnusableInput } from "../base/index.ts";

/** Who holds the book, as the lock file says. */
export interface LockOwner {
  readonly pid: number;
  readonly host: string;
  readonly user: string;
  readonly since: string;
}

const LOCK_NAME = "lock";
const PATIENCE_MS = 5_000;
const PAUSE_MS = 20;
const UNFILLED_MS = 2_000;

/**
 * Runs `work` while no other process writes to the book. Waits a few seconds for another writer; a lock whose process is gone on
 * this machine is taken over; one of another machine is not (the folder may be shared): its owner is named.
 * @throws UnusableInput naming the owner when the book stays locked, or when the folder cannot be written
 */
export function withLock<T>(bookFolder: string, nowIso: string, work: () => T): T {
  const path = join(bookFolder, LOCK_NAME);
  take(path, { pid: process.pid, host: hostname(), user: userName(), since: nowIso });
  try {
    return work();
  } finally {
    rmSync(path, { force: true });
  }
}

function take(path: string, me: LockOwner): void {
  const deadline = performance.now() + PATIENCE_MS;
  for (;;) {
    try {
      const fd = openSync(path, "wx");
      writeSync(fd, JSON.stringify(me));
      fsyncSync(fd);
      closeSync(fd);
      return;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw cannotWrite(path, error);
    }
    const owner = readOwner(path);
    if (isStale(path, owner, me)) {
      removeStale(path, owner, me);
      continue;
    }
    if (performance.now() > deadline) throw heldBy(path, owner);
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, PAUSE_MS);
  }
}

/** Its process is gone on this machine, or it was never filled in: its writer was killed between making and filling it. */
function isStale(path: string, owner: LockOwner | undefined, me: LockOwner): boolean {
  if (owner !== undefined) return owner.host === me.host && !isAlive(owner.pid);
  const made = statSync(path, { throwIfNoEntry: false });
  return made !== undefined && Date.now() - made.mtimeMs > UNFILLED_MS;
}

/** Moves a stale lock aside before deleting it: if another process took over in between, its fresh lock is put back. */
function removeStale(path: string, stale: LockOwner | undefined, me: LockOwner): void {
  const aside = `${path}.stale-${me.pid}`;
  try {
    renameSync(path, aside);
  } catch {
    return; // Another process was quicker.
  }
  const moved = readOwner(aside);
  if (moved?.pid !== stale?.pid || moved?.since !== stale?.since) renameSync(aside, path);
  else rmSync(aside, { force: true });
}

function readOwner(path: string): LockOwner | undefined {
  try {
    return JSON.parse(readFileSync(path, "utf8")) as LockOwner;
  } catch {
    return undefined; // Being written or being removed at this moment.
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}

function userName(): string {
  try {
    return userInfo().username;
  } catch {
    return "unknown";
  }
}

function heldBy(path: string, owner: LockOwner | undefined): UnusableInput {
  const who = owner === undefined ? "another process" : `${owner.user} on ${owner.host} (process ${owner.pid}) since ${owner.since}`;
  return new UnusableInput({
    at: { file: path },
    what: `The book is held by ${who}`,
    do: "Wait until that work is done; if that machine is switched off or gone, delete the lock file by hand",
  });
}

function cannotWrite(path: string, error: unknown): UnusableInput {
  return new UnusableInput({
    at: { file: path },
    what: `The book cannot be written: ${error instanceof Error ? error.message : String(error)}`,
    do: "Check that the folder exists, that the disk is not full and that you may write there; reading still works",
  });
}
