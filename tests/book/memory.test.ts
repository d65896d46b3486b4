import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import {
  addFiles,
  type Book,
  costsCsv,
  createBook,
  createJob,
  memoryOf,
  offeredReferences,
  openBook,
  rankReferences,
  readBookJournal,
  readJob,
  recordBookEvent,
  recordJobEvent,
  redoLast,
  searchBook,
  undoLast,
  unitSystemOf,
} from "../../src/book/index.ts";
import { grid } from "../../src/core/tables/index.ts";
import { loadJob } from "../../src/desk/index.ts";
import { madePacket } from "./made-packet.ts";

let folder: string;
let book: Book;
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-memory-"));
  book = createBook(join(folder, "book"), { by: "Ines", now: () => "2026-11-25T10:00:00Z" });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("the book remembers", () => {
  test("what was said last, on another laptop as well", () => {
    recordBookEvent(book, "shop.named", { name: "Old name" });
    recordBookEvent(book, "shop.named", { name: "Bay three" });
    recordBookEvent(book, "units.preferred", { quantity: "system", unit: "imperial" });
    recordBookEvent(book, "injector.kept", { label: "Green top", ratedFlowGps: 4.2, ratedPressureKpa: 300 });
    recordBookEvent(book, "injector.kept", { label: "Blue top", ratedFlowGps: 5.1, ratedPressureKpa: 400 });
    recordBookEvent(book, "injector.dropped", { label: "Green top" });
    recordBookEvent(book, "check.set", { check: "fuel.long-trim-off", setting: "off" });
    recordBookEvent(book, "check.set", { check: "spark.patch", setting: "note" });
    recordBookEvent(book, "check.set", { check: "spark.patch", setting: "on" });
    recordBookEvent(book, "checklist.written", { name: "Before a pull", text: "Tie-downs\nFans\nWho stops it" });
    const elsewhere = memoryOf(openBook(book.folder, { by: "Jo", now: book.now }));
    expect(elsewhere.shop).toBe("Bay three");
    expect(unitSystemOf(elsewhere)).toBe("imperial");
    expect(elsewhere.injectors.map((sheet) => sheet.label)).toEqual(["Blue top"]);
    expect(elsewhere.checks).toEqual({ "fuel.long-trim-off": "off" });
    expect(elsewhere.checklists["Before a pull"]).toContain("Fans");
  });

  test("and forgets by a new entry, never by a rewrite", () => {
    const before = readBookJournal(book).events.length;
    const named = readBookJournal(book)
      .events.filter((event) => event.kind === "shop.named")
      .at(-1)!;
    recordBookEvent(book, "undone", { number: named.number });
    expect(memoryOf(book).shop).toBe("Old name");
    expect(readBookJournal(book).events.length).toBe(before + 1);
  });

  test("columns that a person named, for every later job", () => {
    const slug = createJob(book, { title: "Odd names" });
    const intake = bytes('{"engine":{"displacementL":2,"cylinders":4}}');
    const drive = bytes(`Time [s],Zorp,Engine speed [rpm]\n${Array.from({ length: 50 }, (_, i) => `${i / 10},${80 + i / 10},${1000 + i}`).join("\n")}\n`);
    addFiles(book, slug, [
      { path: "intake.json", bytes: intake },
      { path: "recordings/a.csv", bytes: drive },
    ]);
    const channels = () => loadJob(book, slug).packet.recordings[0]!.channels;
    expect(channels().ect).toBeUndefined();
    recordBookEvent(book, "column.learned", { column: "Zorp", signal: "ect" });
    expect(channels().ect?.source).toBe("Zorp");
    expect(channels().ect?.values[49]).toBeCloseTo(84.9, 9);
    recordBookEvent(book, "column.forgotten", { column: "Zorp" });
    expect(memoryOf(book).columns.Zorp).toBeUndefined();
    expect(channels().ect).toBeUndefined();
    recordBookEvent(book, "column.learned", { column: "Zorp", signal: "ect" });
    // What was named in a job goes before what the book learned.
    recordJobEvent(book, slug, "column.named", { file: "recordings/a.csv", column: "Zorp", signal: "none" });
    expect(channels().ect).toBeUndefined();
    expect(loadJob(book, slug).packet.recordings[0]!.others.map((column) => column.source)).toContain("Zorp");
  });
});

describe("references", () => {
  const ve = (columns: readonly number[]) =>
    grid(
      "air.ve",
      "%",
      columns,
      [20, 60, 100],
      [20, 60, 100].map(() => columns.map(() => 50)),
    );
  const offered = (name: string, displacementL: number, cylinders: number, folder: "reference" | "as-received" = "reference") => ({
    reference: { name, job: name, folder, engine: { displacementL, cylinders }, isKept: false },
    tables: [ve([800, 2000, 4000])],
  });

  test("the nearest has the same engine, titles and axes; another number of cylinders is none", () => {
    const ranked = rankReferences(
      { displacementL: 2.4, cylinders: 5 },
      [ve([800, 2000, 4000])],
      [
        offered("eight", 2.4, 8),
        offered("other axes", 2.4, 5, "as-received"),
        { ...offered("coarser", 2.4, 5), tables: [ve([1000, 3000])] },
        offered("same", 2.41, 5),
        offered("larger", 3.0, 5),
      ],
    );
    expect(ranked.map((one) => one.offered.name)).toEqual(["same", "other axes", "coarser"]);
    expect(ranked[0]!.nearness).toBeGreaterThan(ranked[1]!.nearness);
    expect(ranked[2]!.nearness).toBe(0);
    expect(ranked[0]!.because).toBe("2.41 L, 5 cylinders; 1 of 1 tables with the same title and axes");
  });

  test("every calibration that came with a job is offered to later ones, the factory's tables before the others", () => {
    const slug = createJob(book, { title: "Brings tables" });
    addFiles(book, slug, madePacket(11).files);
    const list = offeredReferences(book, memoryOf(book), "another", (job) => (job === slug ? { displacementL: 2, cylinders: 4 } : undefined));
    expect(list.map((one) => [one.job, one.folder])).toEqual([
      [slug, "reference"],
      [slug, "as-received"],
    ]);
    recordBookEvent(book, "reference.kept", { name: "Sound one", job: slug, folder: "reference", engine: { displacementL: 2, cylinders: 4 } });
    const named = offeredReferences(book, memoryOf(book), "another", (job) => (job === slug ? { displacementL: 2, cylinders: 4 } : undefined));
    expect(named.map((one) => [one.name, one.isKept])).toEqual([
      ["Sound one", true],
      ["Brings tables (as received)", false],
    ]);
  });
});

describe("a job's entries", () => {
  test("are undone and brought back by entries, in the order of a pile", () => {
    const slug = createJob(book, { title: "Pile" });
    for (const text of ["one", "two", "three"]) recordJobEvent(book, slug, "note.written", { text });
    const notes = () => readJob(book, slug).state.notes.map((note) => note.text);
    undoLast(book, slug);
    undoLast(book, slug, "not so sure");
    expect(notes()).toEqual(["one"]);
    expect(redoLast(book, slug)).toMatchObject({ data: { text: "two" } });
    expect(redoLast(book, slug)).toMatchObject({ data: { text: "three" } });
    expect(redoLast(book, slug)).toBeUndefined();
    expect(notes()).toEqual(["one", "two", "three"]);
    undoLast(book, slug);
    recordJobEvent(book, slug, "note.written", { text: "four" });
    expect(redoLast(book, slug)).toBeUndefined();
    expect(notes()).toEqual(["one", "two", "four"]);
    expect(readJob(book, slug).events.length).toBe(10);
    for (let i = 0; i < 10; i++) undoLast(book, slug);
    expect(notes()).toEqual([]);
    expect(readJob(book, slug).state.title).toBe("Pile");
  });

  test("keep their order when the clock is set back: order comes from the number", () => {
    let at = "2026-11-25T12:00:00Z";
    const clock = openBook(book.folder, { by: "Ines", now: () => at });
    const slug = createJob(clock, { title: "Clock" });
    recordJobEvent(clock, slug, "note.written", { text: "first" });
    at = "2019-01-01T00:00:00Z";
    recordJobEvent(clock, slug, "note.written", { text: "second" });
    expect(readJob(clock, slug).state.notes.map((note) => note.text)).toEqual(["first", "second"]);
    expect(undoLast(clock, slug)).toMatchObject({ data: { text: "second" } });
  });

  test("are found by their words, whatever the case, with the job's name standing for one of them", () => {
    const slug = createJob(book, { title: "Rough idle, wagon", vehicle: "Utility wagon" });
    recordJobEvent(book, slug, "note.written", { text: "Throttle bore worn at the closed stop" });
    recordJobEvent(book, slug, "part.used", { part: "Throttle body", quantity: 1, quality: "original" });
    recordJobEvent(book, slug, "wait.began", { kind: "part", what: "throttle body from the dealer" });
    const found = (words: string) => searchBook(book, words).flatMap((hit) => (hit.place === "file" ? [] : [[hit.job, hit.place]]));
    expect(found("THROTTLE")).toEqual([
      [slug, "note"],
      [slug, "part"],
      [slug, "wait"],
    ]);
    expect(found("wagon bore")).toEqual([[slug, "note"]]);
    expect(found("wagon nothing-like-it")).toEqual([]);
    expect(found("   ")).toEqual([]);
    const result = {
      edits: [],
      findings: [{ check: "air.meter-only", severity: "fix", tables: [], summary: "Speed-density is off", because: [], do: "" }],
      suspects: [],
    };
    expect(searchBook(book, "density", () => result as never)[0]!.place).toBe("finding");
  });

  test("of time and parts go out as CSV that a table program reads as what it says", () => {
    const slug = createJob(book, { title: 'Clean "bore", idle', vehicle: "Sedan" });
    recordJobEvent(book, slug, "time.logged", { minutes: 45, what: "smoke test, leak found" });
    recordJobEvent(book, slug, "part.used", { part: "=cmd()", quantity: 2, price: 12.35, quality: "original" });
    const lines = costsCsv([readJob(book, slug).state]).split("\r\n");
    expect(lines[0]).toBe("job,title,vehicle,date,by,kind,what,quantity,unit,price each,price,quality");
    expect(lines[1]).toBe('clean-bore-idle,"Clean ""bore"", idle",Sedan,2026-11-25,Ines,time,"smoke test, leak found",45,min,,,');
    expect(lines[2]).toBe(`clean-bore-idle,"Clean ""bore"", idle",Sedan,2026-11-25,Ines,part,'=cmd(),2,pc,12.35,24.7,original`);
    expect(lines[3]).toBe("");
  });
});
