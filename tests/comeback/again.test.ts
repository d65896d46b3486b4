import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type Book, createBook, createJob, readJob, recordJobEvent } from "../../src/book/index.ts";
import type { Signature } from "../../src/core/comeback/index.ts";
import { beginAgain, earlierVisits } from "../../src/desk/index.ts";

const SIGNATURE: Signature = { schema: "fettle.signature/1", residuals: [], measures: [], conditions: {}, recordings: [], couldNot: [] };
let folder: string;
let book: Book;
let day = 0;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-again-"));
  book = createBook(join(folder, "book"), { by: "test", now: () => `2026-11-${String(10 + day++).padStart(2, "0")}T10:00:00Z` });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test("a job begun again takes the vehicle's facts and leaves what belonged to that day", () => {
  const first = createJob(book, { title: "Rough idle", vehicle: "Harbour wagon" });
  const engine = { displacementL: 2.5, cylinders: 5, camChanged: true };
  const ofTheDay = { complaint: "idles too fast", ambient: { pressureKpa: 98 }, troubleCodes: ["P0171"], observations: { smokeTest: "leak" } };
  recordJobEvent(book, first, "intake.written", { intake: { engine, fuel: { ethanolPercentVolume: 10 }, ...ofTheDay } });
  recordJobEvent(book, first, "signature.kept", { revision: 0, signature: SIGNATURE });
  const second = beginAgain(book, first, { title: "Smells of fuel" });
  const { state } = readJob(book, second);
  expect(state.vehicle).toBe("Harbour wagon");
  expect(state.intake).toEqual({ engine, fuel: { ethanolPercentVolume: 10 } });
  expect(earlierVisits(book, second).map(({ job }) => job)).toEqual([first]);
  expect(earlierVisits(book, first)).toEqual([]);
});

test("the job that was named goes before one of the same name, and needs no name", () => {
  const nameless = createJob(book, { title: "A vehicle nobody named" });
  recordJobEvent(book, nameless, "signature.kept", { revision: 0, signature: SIGNATURE });
  const named = createJob(book, { title: "Other", vehicle: "coupé" });
  recordJobEvent(book, named, "signature.kept", { revision: 0, signature: SIGNATURE });
  expect(earlierVisits(book, beginAgain(book, nameless, { title: "Back", vehicle: "Coupé " })).map(({ job }) => job)).toEqual([nameless, named]);
  expect(() => beginAgain(book, "no-such-job", { title: "Back" })).toThrow("There is no such job");
});

test("a later visit is nothing that an earlier one could come back from", () => {
  const first = createJob(book, { title: "First", vehicle: "van" });
  const second = createJob(book, { title: "Second", vehicle: "van" });
  recordJobEvent(book, second, "signature.kept", { revision: 0, signature: SIGNATURE });
  expect(earlierVisits(book, first)).toEqual([]);
  recordJobEvent(book, first, "signature.kept", { revision: 0, signature: SIGNATURE });
  expect(earlierVisits(book, second).map(({ job }) => job)).toEqual([first]);
});
