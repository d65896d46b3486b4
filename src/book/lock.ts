import { randomBytes } from "node:crypto";
import { existsSync, linkSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { hostname, userInfo } from "node:os";
import { join } from "node:path";
import { UnusableInput } from "../base/index.ts";
import { isAlive, partPath, pauseMs, readIfThere } from "./durable.ts";

/** Who holds the book, as the lock file says. */
export interface LockOwner {
  readonly pid: number;
  readonly host: string;
  readonly user: string;
  readonly since: string;
  /** Tells two holds of one process apart. */
  readonly nonce: string;
  /** The machine's present run, where the system tells it: a process number of an earlier run says nothing. */
  readonly boot?: string;
}

const LOCK_NAME = "lock";
/** So long one and the same owner is waited for; while the lock goes from hand to hand, work is being done. */
const PATIENCE_MS = 5_000;
const LONGEST_WAIT_MS = 60_000;
const PAUSE_MS = 15;
/** A lock that stays empty for so long had its writer killed between making and filling it (only where files cannot be linked). */
const UNFILLED_MS = 2_000;

/**
 * Runs `work` while no other process writes to the book. Waits a few seconds for another writer; a lock whose process is gone on
 * this machine is taken over; one of another machine is not (the folder may be shared): its owner is named.
 * @throws UnusableInput naming the owner when the book stays locked, or when the folder cannot be written
 */
export function withLock<T>(bookFolder: string, nowIso: string, work: () => T): T {
  const path = join(bookFolder, LOCK_NAME);
  const nonce = take(path, nowIso);
  try {
    return work();
  } finally {
    release(path, nonce);
  }
}

/** Who holds the book now, undefined for nobody. */
export function lockOwner(bookFolder: string): LockOwner | undefined {
  return readOwner(join(bookFolder, LOCK_NAME));
}

/** Takes away a lock that another machine left behind. Only for a person who knows that nobody writes there any more. */
export function breakLock(bookFolder: string): LockOwner | undefined {
  const path = join(bookFolder, LOCK_NAME);
  const owner = readOwner(path);
  rmSync(path, { force: true });
  return owner;
}

function release(path: string, nonce: string): void {
  // Whoever took it away from us (a person, by hand) may have handed it to another.
  if (readOwner(path)?.nonce === nonce) rmSync(path, { force: true });
}

function take(path: string, nowIso: string): string {
  const me: LockOwner = { pid: process.pid, host: hostname(), user: userName(), since: nowIso, nonce: randomBytes(8).toString("hex"), boot: bootId() };
  const began = performance.now();
  let holder: string | undefined;
  let heldSince = began;
  let emptySince: number | undefined;
  for (;;) {
    if (claim(path, me) && readOwner(path)?.nonce === me.nonce) return me.nonce;
    const owner = readOwner(path);
    if (owner?.nonce !== holder) {
      holder = owner?.nonce;
      heldSince = performance.now();
    }
    emptySince = owner === undefined && statSync(path, { throwIfNoEntry: false }) !== undefined ? (emptySince ?? performance.now()) : undefined;
    const isGone = owner === undefined ? emptySince !== undefined && performance.now() - emptySince > UNFILLED_MS : isOfTheDead(owner, me);
    if (isGone) removeStale(path, owner, nowIso);
    else if (performance.now() - heldSince > PATIENCE_MS || performance.now() - began > LONGEST_WAIT_MS) throw heldBy(path, owner);
    else pauseMs(PAUSE_MS);
  }
}

/** Makes the lock with its content in one step (a link to a finished file); where files cannot be linked, in two. */
function claim(path: string, me: LockOwner): boolean {
  if (existsSync(path)) return false;
  const beside = partPath(path);
  const text = JSON.stringify(me);
  try {
    writeFileSync(beside, text, { flag: "wx" });
    linkSync(beside, path);
    return true;
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === "EEXIST") return false;
    if (code === "EPERM" || code === "ENOTSUP" || code === "ENOSYS" || code === "EOPNOTSUPP") return claimWithoutLink(path, text);
    throw cannotWrite(path, error);
  } finally {
    rmSync(beside, { force: true });
  }
}

function claimWithoutLink(path: string, text: string): boolean {
  try {
    writeFileSync(path, text, { flag: "wx" });
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "EEXIST") return false;
    throw cannotWrite(path, error);
  }
}

/** Its process is gone on this machine, or was one of an earlier run of the machine. */
function isOfTheDead(owner: LockOwner, me: LockOwner): boolean {
  // Two systems on one machine may bear one name, and see nothing of each other's processes.
  if (owner.host !== me.host || (owner.boot === undefined) !== (me.boot === undefined)) return false;
  return !isAlive(owner.pid) || (owner.boot !== undefined && me.boot !== undefined && owner.boot !== me.boot);
}

/**
 * Removes a stale lock. Of all who saw it stale only one may, or a fresh lock of a third would be removed in its stead: the right
 * to remove is itself a lock, named after the stale one and taken over by the same rule when its holder dies.
 */
function removeStale(path: string, stale: LockOwner | undefined, nowIso: string): void {
  const right = `${path}.over-${stale?.nonce ?? "empty"}`;
  const nonce = take(right, nowIso);
  try {
    const now = readOwner(path);
    if (now?.nonce === stale?.nonce) rmSync(path, { force: true });
  } finally {
    release(right, nonce);
  }
}

function readOwner(path: string): LockOwner | undefined {
  try {
    return JSON.parse(readFileSync(path, "utf8")) as LockOwner;
  } catch {
    return undefined; // Being written or being removed at this moment.
  }
}

function bootId(): string | undefined {
  const bytes = readIfThere("/proc/sys/kernel/random/boot_id");
  return bytes === undefined ? undefined : new TextDecoder().decode(bytes).trim();
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
    do: "Wait until that work is done; if that machine is switched off or gone, free it with: fettle book unlock",
  });
}

const REFUSALS: Readonly<Record<string, string>> = {
  EROFS: "the folder can only be read",
  EACCES: "you have no right to write there",
  EPERM: "you have no right to write there",
  ENOSPC: "the disk is full",
  EDQUOT: "the disk quota is used up",
  ENOENT: "the folder is gone",
};

function cannotWrite(path: string, error: unknown): UnusableInput {
  const code = (error as NodeJS.ErrnoException).code ?? "";
  return new UnusableInput({
    at: { file: path },
    what: `The book cannot be written: ${REFUSALS[code] ?? (error instanceof Error ? error.message : String(error))}`,
    do: "Nothing was changed, and reading still works; check the folder, its rights and the room on the disk",
  });
}
