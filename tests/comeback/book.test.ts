import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { addFiles, type Book, createBook, createJob } from "../../src/book/index.ts";
import { comeBack, DIALECTS, type MadePacket, makePacket, packetFiles, recordingText } from "../../src/core/virtual-engine/index.ts";
import { comebackOf, decideOn, keepSignature, makeRevision } from "../../src/desk/index.ts";

const encode = (text: string): Uint8Array => new TextEncoder().encode(text);
let folder: string;
let book: Book;
let made: MadePacket;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-comeback-"));
  book = createBook(join(folder, "book"), { by: "test", now: () => "2026-11-25T10:00:00Z" });
  made = makePacket(52, { minutes: 11, faults: [] });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function jobFor(vehicle: string, title: string, recordings: readonly { path: string; text: string }[] = []): string {
  const slug = createJob(book, { title, vehicle });
  const files = packetFiles(made, { dialect: DIALECTS[0]!, roles: "all" }).filter((file) => file.path !== "truth.json");
  const kept = recordings.length === 0 ? files : [...files.filter((file) => !file.path.startsWith("recordings/")), ...recordings];
  addFiles(
    book,
    slug,
    kept.map(({ path, text }) => ({ path, bytes: encode(text) })),
  );
  return slug;
}

test("a vehicle is held against how it left its last job, found by its name", { timeout: 120_000 }, () => {
  const first = jobFor("Harbour wagon", "Rough idle");
  expect(comebackOf(book, first)).toBeUndefined();
  expect(keepSignature(book, first)).toMatchObject({ revision: 0 });
  const back = comeBack(made, 99, { calibration: made.packet.asReceived!, fault: "cooling.runs-cold", severity: 0.9 });
  const second = jobFor(
    "harbour  wagon",
    "Smells of fuel",
    back.packet.recordings.map((recording) => ({ path: recording.file, text: recordingText(recording, DIALECTS[0]!) })),
  );
  const comeback = comebackOf(book, second)!;
  expect(comeback.earlier).toMatchObject({ job: first, revision: 0 });
  expect(comeback.ours).toBe(0);
  expect(comeback.comparison.basis).toBe("moved since");
  expect(comeback.comparison.suspects.slice(0, 2).map((suspect) => suspect.fault)).toContain("cooling.runs-cold");
  expect(() => comebackOf(book, first, second)).toThrow("kept no signature");
});

test("a revision that was never driven is in no signature, and that is said", { timeout: 60_000 }, () => {
  const slug = jobFor("Ferry van", "Limiter too low");
  decideOn(book, slug, { table: "limit.engine-speed", decision: "edit", cells: [{ row: 0, column: 0, value: 5100 }] });
  makeRevision(book, slug, "Limiter");
  expect(keepSignature(book, slug)).toMatchObject({ revision: 0, undriven: 1 });
});
