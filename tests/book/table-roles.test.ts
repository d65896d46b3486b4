import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { addFiles, type Book, createBook, createJob, readJob, recordJobEvent, redoLast, undoLast } from "../../src/book/index.ts";
import { keyOf, loadJob, nameTable, revisionSheets } from "../../src/desk/index.ts";

let folder: string;
let book: Book;
let slug: string;

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const sheet = (title: string, role: string | undefined, unit: string, cell: number): Uint8Array =>
  bytes(
    `table,${title}\n${role === undefined ? "" : `role,${role}\n`}unit,${unit}\nx,Engine speed,rpm\ny,Manifold absolute pressure,kPa\ndata,800,2000\n30,${cell},${cell}\n60,${cell},${cell}\n`,
  );

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-roles-"));
  book = createBook(join(folder, "book"), { by: "Ines", now: () => "2026-11-25T10:00:00Z" });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeEach(() => {
  slug = createJob(book, { title: "Two fillings" });
  addFiles(book, slug, [
    { path: "intake.json", bytes: bytes('{"engine":{"displacementL":2,"cylinders":4}}') },
    { path: "calibration/as-received/a.csv", bytes: sheet("Filling A", "air.ve", "%", 50) },
    { path: "calibration/as-received/b.csv", bytes: sheet("Filling B", undefined, "%", 0.7) },
    { path: "calibration/as-received/c.csv", bytes: bytes("table,K 12\nunit,kPa\nx,Q 1,Nm\ndata,0,100\n,500,600\n") },
    { path: "calibration/reference/b.csv", bytes: sheet("Filling B", undefined, "%", 60) },
  ]);
});

const roles = () => {
  const { packet } = loadJob(book, slug);
  const titles = (side: typeof packet.asReceived) => Object.fromEntries(side!.tables.map((table) => [table.title, table.role]));
  return { asReceived: titles(packet.asReceived), reference: titles(packet.reference), remarks: packet.remarks };
};
const key = () => keyOf(readJob(book, slug).state, loadJob(book, slug).memory);

describe("a role chosen by hand", () => {
  test("goes before what a sheet states, on both sides, and leaves the other table without", () => {
    const before = key();
    expect(roles().asReceived["Filling A"]).toBe("air.ve");
    expect(nameTable(book, slug, "Filling B", "air.ve", "A is for the cold engine")).toEqual({ title: "Filling B", without: "Filling A" });
    const after = roles();
    expect(after.asReceived).toMatchObject({ "Filling A": undefined, "Filling B": "air.ve" });
    expect(after.reference["Filling B"]).toBe("air.ve");
    expect(after.remarks.join("\n")).toContain('its role air.ve was given to "Filling B" by hand');
    expect(loadJob(book, slug).packet.asReceived!.byRole["air.ve"]!.cells[0]).toBe(0.7);
    expect(key()).not.toBe(before);
  });

  test("is an entry like others: undone, brought back, taken back", () => {
    const before = { roles: roles(), key: key() };
    nameTable(book, slug, "filling b", "air.ve");
    undoLast(book, slug);
    expect({ roles: roles(), key: key() }).toEqual(before);
    redoLast(book, slug);
    expect(roles().asReceived["Filling B"]).toBe("air.ve");
    nameTable(book, slug, "Filling B", "as-read");
    expect({ roles: roles(), key: key() }).toEqual(before);
  });

  test("may be none of those known here, also for a table that a sheet or a guess gave one", () => {
    nameTable(book, slug, "air.ve", "none");
    expect(roles().asReceived["Filling A"]).toBeUndefined();
    nameTable(book, slug, "Filling B", "none");
    expect(roles().asReceived).toMatchObject({ "Filling A": undefined, "Filling B": undefined });
    expect(roles().reference["Filling B"]).toBeUndefined();
  });

  test("is refused where size or units do not fit, and nothing is entered", () => {
    const entries = readJob(book, slug).events.length;
    expect(() => nameTable(book, slug, "K 12", "air.ve")).toThrow(/"K 12" is a curve over one axis, Volumetric efficiency \(air\.ve\) is a grid/);
    expect(() => nameTable(book, slug, "K 12", "trans.shift-time")).toThrow(/the cells of "K 12" are in kPa/);
    expect(() => nameTable(book, slug, "Filling B", "spark.main")).toThrow(/Filling B/);
    expect(() => nameTable(book, slug, "Filling Z", "air.ve")).toThrow(/no table "Filling Z"/);
    expect(readJob(book, slug).events.length).toBe(entries);
  });

  test("is passed over, and said, once the sheet under it no longer fits", () => {
    nameTable(book, slug, "Filling B", "air.ve");
    addFiles(book, slug, [{ path: "calibration/as-received/b.csv", bytes: sheet("Filling B", undefined, "deg", 12) }]);
    const after = roles();
    expect(after.asReceived).toMatchObject({ "Filling A": "air.ve" });
    expect(after.asReceived["Filling B"]).not.toBe("air.ve");
    expect(after.remarks.join("\n")).toContain("the role chosen by hand is passed over: the cells of");
  });

  test("waits for open decisions: those are made on a role and would fall upon another table", () => {
    recordJobEvent(book, slug, "change.decided", { role: "air.ve", decision: "edit", cells: [{ row: 0, column: 0, value: 55 }] });
    expect(() => nameTable(book, slug, "Filling B", "air.ve")).toThrow(/Decisions since the last revision lie on air\.ve/);
    undoLast(book, slug);
    nameTable(book, slug, "Filling B", "air.ve");
    expect(revisionSheets(book, readJob(book, slug).state, 0).find((each) => each.table.role === "air.ve")?.table.title).toBe("Filling B");
  });
});
