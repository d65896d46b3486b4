import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { addFiles, type Book, createBook, createJob, readJob, recordJobEvent, undoLast } from "../../src/book/index.ts";
import { analysisOf, decideOn, differenceBetween, exportRevision, loadJob, makeRevision, pendingOf, revisionSheets } from "../../src/desk/index.ts";
import { madePacket } from "./made-packet.ts";

let folder: string;
let book: Book;
let slug: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-revisions-"));
  book = createBook(join(folder, "book"), { by: "test", now: () => "2026-11-25T10:00:00Z" });
  slug = createJob(book, { title: "Made vehicle" });
  addFiles(book, slug, madePacket(7).files);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("a revision", () => {
  test("is the calibration as received with what was decided, and nothing else", () => {
    const analysis = analysisOf(book, slug);
    expect(analysis.proposals.map((made) => made.role)).toContain("air.ve");
    decideOn(
      book,
      slug,
      {
        table: "air.ve",
        decision: "accept",
        region: [
          [0, 0],
          [3, 3],
        ],
      },
      "the drive asks for it",
    );
    decideOn(book, slug, { table: "air.ve", decision: "edit", cells: [{ row: 1, column: 1, value: 61.5 }] }, "smoother by hand");
    decideOn(
      book,
      slug,
      {
        table: "air.ve",
        decision: "hold",
        region: [
          [3, 0],
          [3, 3],
        ],
      },
      "not driven enough",
    );
    const before = revisionSheets(book, readJob(book, slug).state, 0).find((sheet) => sheet.table.role === "air.ve")!.table;
    const proposal = analysis.proposals.find((made) => made.role === "air.ve")!;
    const revision = makeRevision(book, slug, "First", "after the first drive");
    expect(revision.number).toBe(1);
    const after = revisionSheets(book, readJob(book, slug).state, 1).find((sheet) => sheet.table.role === "air.ve")!.table;
    const columns = before.x!.values.length;
    after.cells.forEach((cell, i) => {
      const [row, column] = [Math.floor(i / columns), i % columns];
      if (row === 1 && column === 1) expect(cell).toBeCloseTo(61.5, 6);
      else if (row < 3 && column < 4) expect(cell).toBeCloseTo(proposal.after.cells[i]!, 9);
      else expect(cell).toBe(before.cells[i]);
    });
    const changed = revision.tables.flatMap((table) => table.changed.map((cell) => [table.role, cell.row, cell.column]));
    expect(changed.every(([role, row, column]) => role === "air.ve" && (row as number) < 3 && (column as number) < 4)).toBe(true);
    expect(readJob(book, slug).state.decisions).toEqual([]);
  });

  test("differs from the one before in the cells that were decided", () => {
    const differences = differenceBetween(book, slug, 0, 1);
    expect(differences.map((difference) => difference.key)).toEqual(["air.ve"]);
    expect(differences[0]!.cells.length).toBe(readJob(book, slug).state.revisions[0]!.tables.find((table) => table.role === "air.ve")!.changed.length);
  });

  test("goes out as sheets, byte for byte as they came where nothing changed", () => {
    const came = new Map(madePacket(7).files.map((file) => [file.path, file.bytes]));
    const out = exportRevision(book, slug, 1);
    const changed = out.filter((file) => Buffer.compare(file.bytes, came.get(`calibration/as-received/${file.path}`)!) !== 0);
    expect(out.length).toBeGreaterThan(10);
    expect(changed.length).toBe(1);
  });

  test("that is undone gives its decisions back, and its number to nobody", () => {
    expect(undoLast(book, slug)?.kind).toBe("revision.made");
    expect(readJob(book, slug).state.revisions).toEqual([]);
    expect(
      pendingOf(book, slug)
        .filter((table) => table.changed > 0)
        .map((table) => table.sheet.table.role),
    ).toEqual(["air.ve"]);
    expect(makeRevision(book, slug, "Again").number).toBe(2);
  });

  test("does not empty the picture: until it is driven, what was driven before is looked at", () => {
    expect(loadJob(book, slug).revision).toBe(0);
    const drive = madePacket(7).files.find((file) => file.path.startsWith("recordings/"))!;
    addFiles(book, slug, [drive]);
    const loaded = loadJob(book, slug);
    expect(loaded.revision).toBe(2);
    expect(loaded.packet.recordings.map((recording) => recording.file)).toEqual([drive.path]);
    const cells = loaded.packet.asReceived!.byRole["air.ve"]!.cells;
    expect(cells).toEqual(revisionSheets(book, readJob(book, slug).state, 2).find((sheet) => sheet.table.role === "air.ve")!.table.cells);
    expect(loadJob(book, slug, { revision: 0 }).packet.recordings.length).toBeGreaterThan(1);
  });

  test("is refused in words where there is nothing to make it of", () => {
    expect(() => makeRevision(book, slug, "Empty")).toThrow("No decision changes a cell, so there is nothing to make a revision of.");
    expect(() =>
      decideOn(book, slug, {
        table: "air.ve",
        decision: "hold",
        region: [
          [0, 0],
          [99, 0],
        ],
      }),
    ).toThrow("There is no such cell");
    expect(() => decideOn(book, slug, { table: "nothing like it", decision: "accept" })).toThrow('The calibration has no table "nothing like it".');
  });

  test("keeps what was accepted even when a later entry changes what would be proposed", () => {
    decideOn(book, slug, {
      table: "air.ve",
      decision: "accept",
      region: [
        [5, 5],
        [5, 5],
      ],
    });
    const pending = () => pendingOf(book, slug).find((table) => table.sheet.table.role === "air.ve")!.decided.cells;
    const accepted = pending().slice();
    recordJobEvent(book, slug, "test.observed", { test: "smoke-test", outcome: "leak" });
    expect(pending()).toEqual(accepted);
  });
});
