import { appendFileSync, cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { formatProblem, type Problem } from "../../src/base/index.ts";
import {
  addFiles,
  type Book,
  checkBook,
  createBook,
  createJob,
  isSound,
  keepProposal,
  keepRecording,
  openBook,
  recordBookEvent,
  recordJobEvent,
  undoLast,
} from "../../src/book/index.ts";
import { readTableSheet } from "../../src/formats/index.ts";

let folder: string;
let pattern: string;
let book: Book;
let count = 0;

const now = (): string => "2026-11-25T10:00:00Z";
const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);
const job = (...names: string[]): string => join(book.folder, "jobs", "first", ...names);

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "fettle-check-"));
  pattern = join(folder, "pattern");
  const made = createBook(pattern, { by: "test", now });
  recordBookEvent(made, "shop.named", { name: "Corner shop" });
  const slug = createJob(made, { title: "First" });
  const sheet = "table,VE\nrole,air.ve\nunit,%\nx,Engine speed,rpm\ndata,800,1600\n,50,60\n";
  const [drive] = addFiles(made, slug, [
    { path: "recordings/drive.csv", bytes: bytesOf("time,rpm\n0,800\n1,810\n") },
    { path: "calibration/as-received/ve.csv", bytes: bytesOf(sheet) },
  ]);
  const timeS = Float64Array.of(0, 1);
  await keepRecording(made, slug, drive!.sha256, { file: drive!.path, timeS, channels: {}, others: [], preamble: {}, repairs: [] });
  const read = readTableSheet("calibration/as-received/ve.csv", bytesOf(sheet));
  const proposal = keepProposal(made, slug, read, { after: read.table, sd: new Float64Array(2), sdKind: "absolute", why: "a test" }, []);
  recordJobEvent(made, slug, "change.decided", { role: "air.ve", decision: "accept", proposal });
  createJob(made, { title: "Second" });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeEach(() => {
  const copy = join(folder, `copy-${++count}`);
  cpSync(pattern, copy, { recursive: true });
  book = openBook(copy, { by: "test", now });
});

const lines = (problems: readonly Problem[]): string[] =>
  problems.map((problem) =>
    formatProblem(problem)
      .replaceAll("\\", "/")
      .replace(/[0-9a-f]{64}/g, "HASH")
      .slice(book.folder.length + 1),
  );

function flipByte(path: string, at: number): void {
  const bytes = readFileSync(path);
  bytes[at < 0 ? bytes.length + at : at]! ^= 4;
  writeFileSync(path, bytes);
}

const only = (name: "originals" | "tables" | "recordings", extension = ""): string => {
  const [found] = readdirSync(job(name)).filter((file) => file.endsWith(extension));
  return job(name, found!);
};

describe("a check of the book", () => {
  test("finds a sound book sound, and counts what it read", () => {
    const check = checkBook(book);
    expect(check).toMatchObject({ jobs: 2, entries: 6, files: 4, damaged: [], missing: [], leftOver: [], lockedBy: undefined });
    expect(check.bytes).toBeGreaterThan(500);
    expect(isSound(check)).toBe(true);
  });

  test("finds every flipped byte of every file, whichever it is", () => {
    for (const path of [only("originals"), only("tables"), only("recordings"), job("journal.ndjson"), join(book.folder, "journal.ndjson")]) {
      const whole = readFileSync(path);
      for (let at = 0; at < whole.length; at += Math.ceil(whole.length / 25)) {
        flipByte(path, at);
        expect(isSound(checkBook(book))).toBe(false);
        writeFileSync(path, whole);
      }
    }
  });

  test("says what is damaged and what to do", () => {
    flipByte(only("originals"), 0);
    flipByte(only("tables"), 0);
    flipByte(only("recordings"), 100);
    flipByte(job("journal.ndjson"), 40);
    const fromOriginal = "Nothing is lost: it is made again from the original when the recording is next opened.";
    const fromBackup = "Take it from a backup of the book, or add the same file again.";
    const damaged = lines(checkBook(book).damaged);
    expect(damaged).toHaveLength(4);
    expect(damaged[0]).toBe(
      "jobs/first/journal.ndjson, line 1: This line is damaged (its sum does not fit its text). It was left out; take the line from a backup of the book if it matters. Nothing else is touched.",
    );
    expect(damaged[1]).toMatch(/^jobs\/first\/originals\/HASH.csv: The original of \S+ is damaged: its content no longer fits its hash\. /);
    expect(damaged[1]).toContain(fromBackup);
    expect(damaged[2]).toBe(`jobs/first/tables/HASH.csv: The sheet of the proposal for air.ve is damaged: its content no longer fits its hash. ${fromBackup}`);
    expect(damaged[3]).toBe(
      `jobs/first/recordings/HASH.parquet: The column file of recordings/drive.csv is damaged: its content no longer fits its hash. ${fromOriginal}`,
    );
  });

  test("says what is missing, of undone entries too", () => {
    undoLast(book, "first");
    for (const path of [only("originals"), only("tables"), only("recordings")]) rmSync(path);
    expect(lines(checkBook(book).missing).map((line) => line.replace(/of \S+\.csv/, "of FILE"))).toEqual([
      "jobs/first/originals/HASH.csv: The original of FILE is missing. Take it from a backup of the book.",
      "jobs/first/recordings/HASH.parquet: The column file of FILE is missing. Nothing is lost: it is made again from the original when the recording is next opened.",
      "jobs/first/tables/HASH.csv: The sheet of the proposal for air.ve is missing. Take it from a backup of the book.",
    ]);
  });

  test("says what is left over, which is no damage", () => {
    writeFileSync(job("originals", "b5bb9d8014a0f9b1d61e21e796d78dccdf1352f23cd32812f4850b878ae4944c.txt"), "foo\n");
    writeFileSync(job("originals", "half.0a1b2c-1-00000000.part"), "x");
    writeFileSync(job("journal.ndjson.torn-at-7"), "x");
    writeFileSync(join(book.folder, "lock.over-1"), "x");
    writeFileSync(join(book.folder, "journal (of the other laptop).ndjson"), "x");
    writeFileSync(join(book.folder, ".DS_Store"), "x");
    mkdirSync(join(book.folder, "jobs", "no-journal"));
    const check = checkBook(book);
    expect(isSound(check)).toBe(true);
    expect(lines(check.leftOver).map((line) => line.split(". ")[0])).toEqual([
      "journal (of the other laptop).ndjson: This is not of the book; a program that syncs folders may have set it beside when two machines wrote at once",
      "lock.over-1: This is the right to take over a lock, left by a process that was killed",
      "jobs/no-journal: This is not of the book; a program that syncs folders may have set it beside when two machines wrote at once",
      "jobs/first/journal.ndjson.torn-at-7: This is the end of a line whose write did not finish; it was never confirmed",
      "jobs/first/originals/half.0a1b2c-1-00000000.part: This was half-written when its writer stopped",
      "jobs/first/originals/HASH.txt: No entry speaks of this file: the work that brought it was cut off, or its entry was lost",
    ]);
  });

  test("knows journals that two machines wrote, and journals with a hole", () => {
    const whole = readFileSync(job("journal.ndjson"), "utf8").split("\n").slice(0, -1);
    appendFileSync(job("journal.ndjson"), `${whole[1]}\n`);
    expect(lines(checkBook(book).damaged).join()).toContain("Entry 2 follows entry 4: two machines wrote into copies of this book");
    writeFileSync(job("journal.ndjson"), `${[whole[0], ...whole.slice(2)].join("\n")}\n`);
    expect(lines(checkBook(book).damaged)).toEqual([
      "jobs/first/journal.ndjson: Between the entries 1 is missing. Take the journal from a backup of the book that has them.",
    ]);
  });

  test("knows a job that lost its journal", () => {
    rmSync(job("journal.ndjson"));
    const check = checkBook(book);
    expect(lines(check.missing)).toEqual([
      "jobs/first/journal.ndjson: The journal of this job is missing. Take it from a backup of the book; its files are there.",
    ]);
    expect(check.leftOver).toEqual([]);
  });

  test("changes nothing", () => {
    flipByte(only("originals"), 0);
    renameSync(only("tables"), `${only("tables")}x`);
    const before = readdirSync(book.folder, { recursive: true }).sort();
    checkBook(book);
    expect(readdirSync(book.folder, { recursive: true }).sort()).toEqual(before);
  });
});
