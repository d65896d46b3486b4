import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { addFiles, type Book, createBook, createJob, readJob } from "../../src/book/index.ts";
import { loadJob, referencesFor, useReference } from "../../src/desk/index.ts";
import { madePacket } from "./made-packet.ts";

let folder: string;
let book: Book;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-references-"));
  book = createBook(join(folder, "book"), { by: "test", now: () => "2026-11-25T10:00:00Z" });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test("a vehicle without a factory calibration is offered that of an earlier job on the same engine, and can take it", () => {
  const { files } = madePacket(7, 3);
  const earlier = createJob(book, { title: "First of its kind" });
  addFiles(book, earlier, files);
  addFiles(book, createJob(book, { title: "Another engine" }), madePacket(12, 3).files);
  const later = createJob(book, { title: "Second of its kind" });
  addFiles(
    book,
    later,
    files.filter((file) => !file.path.startsWith("calibration/reference/")),
  );
  expect(loadJob(book, later).packet.reference).toBeUndefined();

  const ranked = referencesFor(book, later);
  expect(ranked[0]!.offered).toMatchObject({ job: earlier, folder: "reference" });
  expect(ranked[0]!.nearness).toBe(1);
  const nearest = ranked[0]!.offered;
  const brought = useReference(book, later, nearest);
  const sheets = files.filter((file) => file.path.startsWith("calibration/reference/"));
  expect(brought).toBe(sheets.length);
  expect(loadJob(book, later).packet.reference!.tables).toEqual(loadJob(book, earlier).packet.reference!.tables);
  expect(readJob(book, later).events.at(-1)!.why).toBe(`reference taken from "First of its kind (factory)" (job ${earlier}, factory's tables)`);
  expect(() => useReference(book, later, nearest)).toThrow("The job has a reference calibration already.");
});

test("a job without an intake says what it lacks", () => {
  const slug = createJob(book, { title: "Nothing yet" });
  expect(() => referencesFor(book, slug)).toThrow("The job has no intake yet. Enter at least the displacement and the number of cylinders.");
});
