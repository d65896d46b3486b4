import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { seededRandom } from "../../src/base/index.ts";
import { type Book, createBook, createJob, type KeptFile, readBookJournal, readJob, readOriginal } from "../../src/book/index.ts";

const KILLS = 500;
/** At once: the lock keeps them apart, and one is often killed while it holds it. Several, because most of the time goes into starting them. */
const WRITERS = 4;
const SCRIBE = new URL("./scribe.mjs", import.meta.url).pathname;

interface Acknowledged {
  readonly ready?: true;
  readonly job?: number;
  readonly text?: string;
  readonly file?: KeptFile;
  readonly book?: number;
  readonly name?: string;
}

let folder: string;
let book: Book;
let slug: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-kill-"));
  book = createBook(join(folder, "book"), { by: "test", now: () => new Date().toISOString() });
  slug = createJob(book, { title: "Killed at random" });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/**
 * Starts a writer, kills it without warning a random moment after its first few entries, and returns what it had acknowledged. By
 * entries and not by time alone: on a busy machine most would be killed before they did anything.
 */
function writeUntilKilled(seed: number, entries: number, afterMs: number): Promise<Acknowledged[]> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [SCRIBE, book.folder, slug, String(seed)], { stdio: ["ignore", "pipe", "pipe"] });
    let out = "";
    let complaint = "";
    let armed = false;
    child.stdout.on("data", (chunk: Buffer) => {
      out += chunk.toString();
      if (armed || out.split("\n").length <= entries + 1) return;
      armed = true;
      setTimeout(() => child.kill("SIGKILL"), afterMs);
    });
    child.stderr.on("data", (chunk: Buffer) => {
      complaint += chunk.toString();
    });
    child.on("close", (_, signal) => {
      // The last line may be cut by the kill itself: then it was never acknowledged.
      const told = out
        .split("\n")
        .slice(0, -1)
        .map((line) => JSON.parse(line) as Acknowledged);
      if (signal === "SIGKILL") resolve(told);
      // On a busy machine a writer may wait too long for the others and be told so: no loss, but no kill either.
      else if (complaint.includes("The book is held by")) writeUntilKilled(seed + 10_000, entries, afterMs).then((more) => resolve([...told, ...more]), reject);
      else reject(new Error(`the writer stopped by itself: ${complaint}`));
    });
  });
}

test(`${KILLS} kills at random moments of random work lose nothing that was acknowledged`, { timeout: 900_000 }, async () => {
  const random = seededRandom(20261125);
  const acknowledged: Acknowledged[] = [];
  for (let killed = 0; killed < KILLS; killed += WRITERS) {
    const writers = Array.from({ length: WRITERS }, (_, i) => writeUntilKilled(killed + i + 1, 1 + Math.floor(random.between(0, 3)), random.between(0, 40)));
    acknowledged.push(...(await Promise.all(writers)).flat());
  }
  const job = readJob(book, slug);
  const wholeBook = readBookJournal(book);
  const notes = new Map(job.events.filter((e) => e.kind === "note.written").map((e) => [e.number, (e.data as { text: string }).text]));
  const names = new Map(wholeBook.events.map((e) => [e.number, (e.data as { name: string }).name]));
  let checked = 0;
  for (const entry of acknowledged) {
    if (entry.job !== undefined) expect(notes.get(entry.job)).toBe(entry.text);
    if (entry.book !== undefined) expect(names.get(entry.book)).toBe(entry.name);
    if (entry.file !== undefined) expect(readOriginal(book, slug, entry.file).length).toBe(entry.file.bytes);
    if (entry.ready !== true) checked++;
  }
  expect(checked).toBeGreaterThanOrEqual(KILLS);
  const numbers = job.events.map((e) => e.number);
  expect(numbers).toEqual(numbers.map((_, i) => i + 1));
});
