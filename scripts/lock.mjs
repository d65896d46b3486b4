// One command at a time may install or build in a checkout; others wait for it. Node built-ins only.
import fs from "node:fs";
import path from "node:path";
import { at, say } from "./paths.mjs";

const LOCK = at(".install-lock");
const WAIT_MS = 200;
/** A lock folder without a pid in it is a command that died between two system calls. */
const EMPTY_LOCK_IS_STALE_AFTER_MS = 10_000;

/** @param {number} pid */
function isAlive(pid) {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return /** @type {NodeJS.ErrnoException} */ (error).code === "EPERM";
  }
}

function isStale() {
  try {
    const pid = Number(fs.readFileSync(path.join(LOCK, "pid"), "utf8"));
    if (pid > 0) return !isAlive(pid);
  } catch {
    // No pid yet: judged by age below.
  }
  try {
    return Date.now() - fs.statSync(LOCK).mtimeMs > EMPTY_LOCK_IS_STALE_AFTER_MS;
  } catch {
    return false; // gone meanwhile; the next mkdir decides
  }
}

function take() {
  try {
    fs.mkdirSync(LOCK);
    fs.writeFileSync(path.join(LOCK, "pid"), String(process.pid));
    return true;
  } catch (error) {
    if (/** @type {NodeJS.ErrnoException} */ (error).code === "EEXIST") return false;
    throw error;
  }
}

/**
 * Runs `work` while no other command of this checkout installs or builds.
 * @param {() => Promise<void> | void} work
 */
export async function withLock(work) {
  let told = false;
  while (!take()) {
    if (isStale()) {
      fs.rmSync(LOCK, { recursive: true, force: true });
      continue;
    }
    if (!told) say("another command is installing or building here; waiting for it");
    told = true;
    await new Promise((resolve) => setTimeout(resolve, WAIT_MS));
  }
  try {
    await work();
  } finally {
    fs.rmSync(LOCK, { recursive: true, force: true });
  }
}
