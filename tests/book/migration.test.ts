import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import {
  BOOK_SCHEMA,
  type Book,
  checkBook,
  type Disk,
  foldMemory,
  memoryOf,
  openBook,
  readBookJournal,
  readJob,
  readKeptRecording,
  readOriginal,
  recordBookEvent,
  recordJobEvent,
} from "../../src/book/index.ts";
import { faultingDisk } from "./faulting-disk.ts";

const FIXTURES = new URL("../data/books/", import.meta.url).pathname;
const JOB = "surges-when-cold";

let folder: string;
let target: string;
let count = 0;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-migration-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeEach(() => copyOf("v0"));

function copyOf(version: string): void {
  target = join(folder, `book-${++count}`);
  cpSync(join(FIXTURES, version), target, { recursive: true });
}

const open = (disk?: Disk): Book => openBook(target, { by: "test", now: () => "2026-11-26T08:00:00Z", disk });
const text = (path: string): string => readFileSync(path, "utf8");
const journals = ["journal.ndjson", `jobs/${JOB}/journal.ndjson`];

function filesIn(root: string): Record<string, string> {
  const names = readdirSync(root, { recursive: true, encoding: "utf8" }).filter((name) => statSync(join(root, name)).isFile());
  return Object.fromEntries(names.sort().map((name) => [name.replaceAll("\\", "/"), readFileSync(join(root, name)).toString("base64")]));
}

describe("a book of every layout there ever was", () => {
  test("has its example among the data of the tests", () => {
    const versions = readdirSync(FIXTURES).filter((name) => /^v\d+$/.test(name));
    expect(versions.sort()).toEqual(Array.from({ length: BOOK_SCHEMA + 1 }, (_, version) => `v${version}`));
  });

  for (const version of Array.from({ length: BOOK_SCHEMA + 1 }, (_, i) => `v${i}`))
    test(`${version} opens, reads and is left as it is while nobody writes`, async () => {
      copyOf(version);
      const before = filesIn(target);
      const book = open();
      const { state, events, problems } = readJob(book, JOB);
      expect(problems).toEqual([]);
      expect(events).toHaveLength(11);
      expect(events.at(-1)).toMatchObject({ kind: "tyre.turned", data: { wheel: 3 } });
      expect(state).toMatchObject({
        title: "Surges when cold",
        vehicle: "estate car, 2.0 L",
        createdAt: "2026-11-25T10:12:00+01:00",
        waits: [],
        resumed: [{ what: "coolant sensor", ended: 7 }],
        notes: [{ number: 4, text: "Surges below 40 °C – see drive", by: "bench left" }],
        observed: [{ test: "smoke-test", outcome: "no leak" }],
        decisions: [{ number: 8, role: "air.ve", decision: "accept" }],
      });
      expect(state.files.map(({ path }) => path)).toEqual(["attachments/photo of the plate.jpg", "calibration/as-received/ve.csv", "recordings/cold.csv"]);
      for (const file of state.files) expect(readOriginal(book, JOB, file).length).toBe(file.bytes);
      const recording = await readKeptRecording(book, JOB, state.recordings[0]!);
      expect(recording.channels.rpm).toMatchObject({ source: "Drehzahl [1/min]" });
      expect(recording.channels.rpm!.values.slice(0, 8)).toEqual(Float64Array.of(800, 803, 806, 809, 812, 815, 818, 800));
      expect(memoryOf(book)).toMatchObject({
        shop: "Corner shop",
        units: { pressure: "bar" },
        columns: { "Drehzahl [1/min]": "rpm" },
        injectors: [{ label: "Blue, 12 holes", ratedFlowGps: 4.1 }],
        checks: { "air.ve-step": "note" },
      });
      expect(checkBook(book)).toMatchObject({ damaged: [], missing: [], leftOver: [], jobs: 1, entries: 16, files: 5 });
      expect(filesIn(target)).toEqual(before);
    });
});

describe("the first entry in an older book", () => {
  test("brings it to the layout of today and keeps every file as it was beside it", () => {
    const before = filesIn(target);
    expect(recordJobEvent(open(), JOB, "note.written", { text: "goes on" }).number).toBe(12);
    for (const name of ["book.json", ...journals]) expect(readFileSync(join(target, `${name}.layout-0`)).toString("base64")).toBe(before[name]);
    expect(JSON.parse(text(join(target, "book.json")))).toEqual({ schema: `fettle.book/${BOOK_SCHEMA}`, createdAt: "2026-11-25T10:00:00+01:00" });
    // What the migration makes of the older example is, byte for byte, what the program wrote itself in the newer one.
    expect(text(join(target, "journal.ndjson"))).toBe(text(join(FIXTURES, "v1", "journal.ndjson")));
    const lines = text(join(target, `jobs/${JOB}/journal.ndjson`)).split("\n");
    expect(`${lines.slice(0, 11).join("\n")}\n`).toBe(text(join(FIXTURES, "v1", `jobs/${JOB}/journal.ndjson`)));
    const check = checkBook(open());
    expect(check).toMatchObject({ damaged: [], missing: [], entries: 17 });
    expect(check.leftOver).toHaveLength(3);
    const { layout } = open();
    expect(layout).toBe(BOOK_SCHEMA);
  });

  test("finds the book brought up to date by another process meanwhile, and does not do it again", () => {
    const early = open();
    recordBookEvent(open(), "shop.named", { name: "Other shop" });
    const journal = text(join(target, "journal.ndjson"));
    expect(recordBookEvent(early, "shop.named", { name: "Third shop" }).number).toBe(7);
    expect(text(join(target, "journal.ndjson")).startsWith(journal)).toBe(true);
    expect(foldMemory(readBookJournal(early).events).shop).toBe("Third shop");
  });

  test("can be cut off at any step: the book reads as before, and the next entry does it", () => {
    let steps = 0;
    for (; ; steps++) {
      copyOf("v0");
      const disk = faultingDisk("EIO", (step) => step >= steps);
      try {
        recordJobEvent(open(disk), JOB, "note.written", { text: "goes on" });
        break;
      } catch (error) {
        expect((error as Error).message).toContain("The disk reports a fault");
      }
      const events = readJob(open(), JOB).events.slice(0, 11);
      expect(events).toHaveLength(11);
      expect(memoryOf(open()).shop).toBe("Corner shop");
      recordJobEvent(open(), JOB, "note.written", { text: "after" });
      expect(readJob(open(), JOB).events.slice(0, 11)).toEqual(events);
      expect(readJob(open(), JOB).state.notes.at(-1)!.text).toBe("after");
      expect(checkBook(open())).toMatchObject({ damaged: [], missing: [] });
      for (const name of journals) expect(existsSync(join(target, `${name}.layout-0`))).toBe(true);
    }
    expect(steps).toBeGreaterThan(12);
  });

  test("keeps a damaged line as it is, and its number", () => {
    const path = join(target, `jobs/${JOB}/journal.ndjson`);
    writeFileSync(path, text(path).replace('"text":"Surges', '"text:"Surges'));
    expect(readJob(open(), JOB).problems.map(({ at, what }) => [at.line, what])).toEqual([[4, "This line is damaged (it is no entry)"]]);
    expect(recordJobEvent(open(), JOB, "note.written", { text: "goes on" }).number).toBe(12);
    expect(readJob(open(), JOB).problems.map(({ at }) => at.line)).toEqual([4]);
    expect(readJob(open(), JOB).events).toHaveLength(11);
  });
});

test("a book of a newer layout is refused with words, and nothing is changed", () => {
  writeFileSync(join(target, "book.json"), JSON.stringify({ schema: `fettle.book/${BOOK_SCHEMA + 1}`, something: "new" }));
  const before = filesIn(target);
  expect(() => open()).toThrow(
    `This book was written by a newer version of the program (layout ${BOOK_SCHEMA + 1}; this one knows ${BOOK_SCHEMA}). Open it with that version; nothing was changed.`,
  );
  expect(filesIn(target)).toEqual(before);
});

test("a folder without a book, and a book with a damaged head, are told apart", () => {
  writeFileSync(join(target, "book.json"), '{"schema": "fettle.bo');
  expect(() => open()).toThrow("This is not the head of a shop book. Put back book.json from a backup; the jobs beside it are not touched.");
  rmSync(join(target, "book.json"));
  expect(() => open()).toThrow("There is no shop book in this folder.");
});
