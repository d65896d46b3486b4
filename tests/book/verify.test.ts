import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { addFiles, type Book, createBook, createJob, readJob } from "../../src/book/index.ts";
import type { Verification } from "../../src/core/job/index.ts";
import { calibrationOf, columnsOf } from "../../src/core/tables/index.ts";
import { DIALECTS, driveAgain, makePacket, packetFiles, recordingText } from "../../src/core/virtual-engine/index.ts";
import { analysisOf, decideOn, makeRevision, revisionSheets, verifyJob } from "../../src/desk/index.ts";

const encode = (text: string): Uint8Array => new TextEncoder().encode(text);
let folder: string;
let book: Book;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-verify-"));
  book = createBook(join(folder, "book"), { by: "test", now: () => "2026-11-25T10:00:00Z" });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Minutes of each drive: enough that the common regions are covered. */
const MINUTES = 6;

const TAKEN = ["air.ve", "air.meter-curve", "idle.base-airflow"];

interface Course {
  readonly seed: number;
  /** Takes what is proposed for the air tables. */
  readonly accepts: boolean;
  /** Tables that the hand multiplies, by role. */
  readonly times?: Readonly<Record<string, number>>;
}

/** A healthy made vehicle, revised once and driven again with the revision in its controller. */
function revisedAndDriven({ seed, accepts, times = {} }: Course): Verification {
  const made = makePacket(seed, { minutes: MINUTES, faults: [] });
  const slug = createJob(book, { title: `Vehicle ${seed}` });
  const files = packetFiles(made, { dialect: DIALECTS[0]!, roles: "all" });
  addFiles(
    book,
    slug,
    files.filter((file) => file.path !== "truth.json").map(({ path, text }) => ({ path, bytes: encode(text) })),
  );
  const proposals = accepts ? analysisOf(book, slug).proposals.filter(({ role }) => TAKEN.includes(role)) : [];
  for (const { role } of proposals) decideOn(book, slug, { table: role, decision: "accept" });
  for (const [role, factor] of Object.entries(times)) {
    const { table } = revisionSheets(book, readJob(book, slug).state, 0).find((sheet) => sheet.table.role === role)!;
    const columns = columnsOf(table);
    const cells = Array.from(table.cells, (value, i) => ({ row: Math.floor(i / columns), column: i % columns, value: value * factor }));
    decideOn(book, slug, { table: role, decision: "edit", cells });
  }
  makeRevision(book, slug, "Revised");
  const tables = calibrationOf(revisionSheets(book, readJob(book, slug).state, 1).map((sheet) => sheet.table));
  const again = driveAgain(made, tables, seed + 1000, MINUTES).recordings;
  addFiles(
    book,
    slug,
    again.map((recording) => ({ path: recording.file, bytes: encode(recordingText(recording, DIALECTS[0]!)) })),
  );
  const seen = verifyJob(book, slug)!;
  expect(seen).toMatchObject({ revision: 1, from: 0 });
  return seen.verification;
}

function regionsDriven({ tables }: Verification, role: string) {
  return tables.find((table) => table.role === role)!.regions.filter((region) => region.verdict !== "not driven" && region.predicted.samples > 30);
}

// The second drive comes from the virtual engine, which computes fuel, air and exhaust by its own plant and shares no formula file with
// the replay: what the replay promises from the first drive is held to what that plant then does.
describe("a revision that was driven", { timeout: 240_000 }, () => {
  test("did what the replay promised, and is verified where the error is gone", () => {
    const verification = revisedAndDriven({ seed: 21, accepts: true });
    const ve = regionsDriven(verification, "air.ve");
    expect(ve.length).toBeGreaterThan(0);
    for (const { predicted, observed } of ve) expect(Math.abs(observed.mean - predicted.mean)).toBeLessThan(0.008 + 3 * observed.sd);
    expect(ve.map((region) => region.verdict)).toEqual(ve.map(() => "verified"));
    expect(Math.abs(ve[0]!.observed.mean)).toBeLessThan(Math.abs(ve[0]!.before.mean));
    const idle = regionsDriven(verification, "idle.base-airflow");
    expect(idle.length).toBeGreaterThan(0);
    // Fans and other consumers differ from drive to drive by a few tenths of a gram a second.
    for (const { predicted, observed } of idle) expect(Math.abs(observed.mean - predicted.mean)).toBeLessThan(0.5);
  });

  test("is worse where a hand spoilt it, by as much as the replay said", () => {
    const verification = revisedAndDriven({ seed: 21, accepts: false, times: { "air.ve": 1.2 } });
    const ve = regionsDriven(verification, "air.ve");
    expect(ve.length).toBeGreaterThan(0);
    for (const { before, predicted, observed } of ve) {
      // 20 % more air reckoned is ln 1.2 = 0.182 less residual.
      expect(predicted.mean - before.mean).toBeCloseTo(-Math.log(1.2), 2);
      expect(Math.abs(observed.mean - predicted.mean)).toBeLessThan(0.015 + 3 * observed.sd);
    }
    expect(verification.verdict).toBe("worse");
  });

  test("shows a change of the injectors' flow in the mixture, less what the dead time hides", () => {
    const verification = revisedAndDriven({ seed: 23, accepts: false, times: { "fuel.injector-flow": 1.1 } });
    const flow = regionsDriven(verification, "fuel.injector-flow");
    expect(flow.length).toBeGreaterThan(0);
    for (const { before, predicted, observed } of flow) {
      // The pulse is cut by a tenth above the dead time: 10 % leaner.
      expect(predicted.mean - before.mean).toBeCloseTo(Math.log(1.1), 2);
      expect(Math.abs(observed.mean - predicted.mean)).toBeLessThan(0.015 + 3 * observed.sd);
    }
  });

  test("that was never driven is said to be that", () => {
    const made = makePacket(24, { minutes: 3, faults: [] });
    const slug = createJob(book, { title: "Standing" });
    addFiles(
      book,
      slug,
      packetFiles(made, { dialect: DIALECTS[0]!, roles: "all" })
        .filter((file) => file.path !== "truth.json")
        .map(({ path, text }) => ({ path, bytes: encode(text) })),
    );
    decideOn(book, slug, { table: "air.ve", decision: "edit", cells: [{ row: 0, column: 0, value: 30 }] });
    makeRevision(book, slug, "By hand");
    const { verification } = verifyJob(book, slug, 1)!;
    expect(verification.verdict).toBe("not driven");
    expect(verification.couldNot).toContain("nothing was verified: there is no recording with these tables in the controller");
  });
});
