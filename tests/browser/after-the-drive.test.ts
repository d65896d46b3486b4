import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { Book } from "../../src/book/index.ts";
import type { Signature } from "../../src/core/comeback/index.ts";
import type { ComebackOfJob } from "../../src/desk/index.ts";
import { accessibilityFaults, built, goTo, idle, type OpenedBench, openBenchOn, openJob, ROOT } from "./bench.ts";

const FIRST = "Rich in town";
const BACK = "Runs lean since spring";
const ARTEFACTS = join(ROOT, "test-artefacts");
const SEED = 14;
const MINUTES = 6;
const SIZES = [
  [1366, 768],
  [1920, 1080],
] as const;

let bench: OpenedBench;
/** What the desk says of the same book: the bench must show this and nothing else. */
let verified: NonNullable<ReturnType<typeof import("../../src/desk/index.ts").verifyJob>>;
let comeback: ComebackOfJob;
let kept: Signature;
/** Plain name of what the new drive speaks for. */
let leaderTitle: string;

const encode = (text: string): Uint8Array => new TextEncoder().encode(text);

/** A made vehicle is revised and driven again, leaves, and comes back with air drawn in behind its meter. */
async function revisedAndBack(book: Book): Promise<void> {
  const { addFiles, readJob } = (await built("book/index.js")) as never as typeof import("../../src/book/index.ts");
  const desk = (await built("desk/index.js")) as never as typeof import("../../src/desk/index.ts");
  const engine = (await built("core/virtual-engine/index.js")) as never as typeof import("../../src/core/virtual-engine/index.ts");
  const { calibrationOf } = (await built("core/tables/index.js")) as never as typeof import("../../src/core/tables/index.ts");
  const { FAULT_STORIES } = (await built("core/faults/index.js")) as never as typeof import("../../src/core/faults/index.ts");
  const dialect = engine.DIALECTS[0]!;
  const drive = (recordings: Parameters<typeof engine.recordingText>[0][]) =>
    recordings.map((recording) => ({ path: recording.file, bytes: encode(engine.recordingText(recording, dialect)) }));
  const made = engine.makePacket(SEED, { minutes: MINUTES, family: "i5-25-na", faults: [] });
  const slug = "rich-in-town";
  const texts = engine.packetFiles(made, { dialect, roles: "all" }).filter((file) => file.path !== "truth.json");
  addFiles(
    book,
    slug,
    texts.map(({ path, text }) => ({ path, bytes: encode(text) })),
  );
  for (const { role, heldBecause } of desk.analysisOf(book, slug).proposals)
    if (heldBecause === undefined && role.startsWith("air.")) desk.decideOn(book, slug, { table: role, decision: "accept" });
  desk.makeRevision(book, slug, "first drive");
  const tables = calibrationOf(desk.revisionSheets(book, readJob(book, slug).state, 1).map((sheet) => sheet.table));
  addFiles(book, slug, drive([...engine.driveAgain(made, tables, SEED + 1, MINUTES).recordings]));
  kept = desk.keepSignature(book, slug).signature;
  const second = desk.beginAgain(book, slug, { title: BACK });
  const returned = engine.comeBack(made, SEED + 2, { calibration: tables, minutes: MINUTES, fault: "air.unmetered-leak", severity: 0.8 });
  addFiles(book, second, drive([...returned.packet.recordings]));
  verified = desk.verifyJob(book, slug)!;
  comeback = desk.comebackOf(book, second)!;
  leaderTitle = FAULT_STORIES.find((story) => story.id === comeback.comparison.suspects[0]!.fault)!.title;
}

beforeAll(async () => {
  mkdirSync(ARTEFACTS, { recursive: true });
  bench = await openBenchOn([{ title: FIRST, vehicle: "estate wagon" }], revisedAndBack);
}, 180_000);
afterAll(() => bench?.close());

test("a revision that was driven: promised against seen, region by region", { timeout: 120_000 }, async () => {
  const page = await bench.page();
  await openJob(page, FIRST);
  await goTo(page, "Change sheet");
  const section = page.getByRole("region", { name: "Did revision 1 do what it promised?" });
  await section.getByText(/^Revision 1 was driven: /).waitFor({ timeout: 60_000 });
  const ve = verified.verification.tables.find((table) => table.role === "air.ve")!;
  const table = section.getByRole("table", { name: /^Volumetric efficiency: / });
  const shown = await table.locator("tbody tr").evaluateAll((rows) => rows.map((row) => [...row.querySelectorAll("th, td")].map((cell) => cell.textContent)));
  const words = { verified: "converged", "not yet": "not there yet", worse: "worse than before", "not driven": "not driven" };
  expect(shown.map((row) => [row[0], row.at(-1)])).toEqual(ve.regions.map((region) => [region.name, words[region.verdict]]));
  const percent = (text: string | null | undefined): number => Number(text!.replace("−", "-"));
  const driven = ve.regions.findIndex((region) => region.verdict !== "not driven");
  expect(driven).toBeGreaterThanOrEqual(0);
  const { before, predicted, observed } = ve.regions[driven]!;
  const expected = [before.mean, predicted.mean, observed.mean];
  for (const [i, mean] of expected.entries()) expect(percent(shown[driven]![i + 1]), `figure ${i}`).toBeCloseTo(100 * mean, 0);
  expect(await table.locator("tbody tr").nth(driven).locator("svg").count()).toBe(1);
  await page.close();
});

test("how it leaves is kept, kept again, and taken back", { timeout: 120_000 }, async () => {
  const page = await bench.page();
  await openJob(page, FIRST);
  await goTo(page, "Handover");
  const section = page.locator("section", { has: page.getByRole("heading", { name: "How it leaves" }) });
  await section.getByText(/from the drive on revision 1: \d+ residuals/).waitFor();
  expect(await section.locator("tbody tr").count()).toBe(kept.measures.length);
  await section.getByRole("button", { name: "Keep it again from the newest drive" }).click();
  await idle(page);
  await page.getByRole("button", { name: "Undo" }).and(page.locator(":enabled")).click();
  await idle(page);
  await section.getByText(/from the drive on revision 1: \d+ residuals/).waitFor();
  await page.close();
});

test("a vehicle that came back: what moved since it left, what speaks for it, and the way to the recording", { timeout: 120_000 }, async () => {
  const page = await bench.page();
  await openJob(page, BACK);
  await goTo(page, "Diagnosis");
  const section = page.locator(".since-departure");
  const [leader] = comeback.comparison.suspects;
  await section.getByText(`What moved since speaks for: ${leaderTitle} (${Math.round(100 * leader!.probability)} %).`).waitFor({ timeout: 60_000 });
  const rows = section.locator("tbody tr");
  const moved = comeback.comparison.moved.filter((one) => Math.abs(one.spreads) >= 1);
  expect(moved.length).toBeGreaterThan(0);
  expect(await rows.count()).toBe(moved.length);
  await section.getByText("What could not be compared").click();
  await section.getByText(/none was read from the controller this time/).waitFor();
  await section.locator("tbody th a").first().click();
  await idle(page);
  expect(page.url()).toContain("/recordings");
  await page.goBack();
  await section.getByRole("link", { name: FIRST }).click();
  await page.getByRole("heading", { name: "How it leaves" }).waitFor();
  await page.close();
});

test.each(["light", "dark"] as const)("both views have nothing against WCAG 2.2 AA and fit the page, %s", { timeout: 120_000 }, async (scheme) => {
  const page = await bench.page({ scheme });
  const look = async (title: string, station: string, what: string, shot: string): Promise<void> => {
    await page.goto(bench.url);
    await openJob(page, title);
    await goTo(page, station);
    const section = page.locator(what);
    await section.waitFor({ timeout: 60_000 });
    expect(await accessibilityFaults(page), station).toEqual([]);
    for (const [width, height] of SIZES) {
      await page.setViewportSize({ width, height });
      await section.evaluate((element) => element.scrollIntoView());
      expect(await section.evaluate((element) => element.scrollWidth - element.clientWidth), `${station} at ${width}`).toBeLessThanOrEqual(1);
      await page.screenshot({ path: join(ARTEFACTS, `${shot}-${scheme}-${width}.png`) });
    }
  };
  await look(FIRST, "Change sheet", ".verification", "verified");
  await look(BACK, "Diagnosis", ".since-departure", "since-departure");
  await page.close();
});
