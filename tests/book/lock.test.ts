import { type ChildProcess, spawn } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";

const HAMMER = new URL("./hammer.mjs", import.meta.url).pathname;
const WAVES = 4;
const HAMMERS = 8;
const ROUNDS = 25;

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-lock-"));
  writeFileSync(join(folder, "counter"), "0");
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Hammer {
  readonly child: ChildProcess;
  readonly isReady: Promise<void>;
  /** Rounds it finished, and whether it died inside. */
  readonly end: Promise<{ readonly rounds: number; readonly died: boolean }>;
}

function start(seed: number): Hammer {
  const child = spawn(process.execPath, [HAMMER, folder, String(seed), String(ROUNDS)], { stdio: ["pipe", "pipe", "pipe"] });
  let out = "";
  let complaint = "";
  child.stderr.on("data", (chunk: Buffer) => {
    complaint += chunk.toString();
  });
  const isReady = new Promise<void>((resolve) => child.stdout.once("data", () => resolve()));
  child.stdout.on("data", (chunk: Buffer) => {
    out += chunk.toString();
  });
  const end = new Promise<{ rounds: number; died: boolean }>((resolve, reject) =>
    child.on("close", (code, signal) => {
      if (signal === null && code !== 0) reject(new Error(complaint));
      else resolve({ rounds: out.split("+\n").length - 1, died: signal !== null });
    }),
  );
  return { child, isReady, end };
}

test("many processes never meet inside the lock, though holders die in it and all the others see the stale lock at once", { timeout: 300_000 }, async () => {
  let rounds = 0;
  let deaths = 0;
  for (let wave = 0; wave < WAVES; wave++) {
    const hammers = Array.from({ length: HAMMERS }, (_, i) => start(1 + wave * HAMMERS + i));
    await Promise.all(hammers.map(({ isReady }) => isReady));
    for (const { child } of hammers) child.stdin!.write("go\n");
    for (const { end } of hammers) {
      const { rounds: done, died } = await end;
      rounds += done;
      if (died) deaths++;
    }
  }
  expect(existsSync(join(folder, "met")) ? readFileSync(join(folder, "met"), "utf8") : "").toBe("");
  expect(deaths).toBeGreaterThan(10);
  expect(rounds).toBeGreaterThan(200);
  // Every round counted once; a holder killed between counting and telling cannot be: it dies before it counts.
  expect(Number(readFileSync(join(folder, "counter"), "utf8"))).toBe(rounds);
  // What the dead leave is taken over or lies still; nothing that the living wrote stays.
  expect(readdirSync(folder).filter((name) => name.endsWith(".part"))).toEqual([]);
});
