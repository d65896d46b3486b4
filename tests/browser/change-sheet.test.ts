import { mkdirSync, readdirSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { accessibilityFaults, goTo, idle, type OpenedBench, openBenchOn, openJob, ROOT } from "./bench.ts";

const PACKETS = join(ROOT, "examples/packets");
const PACKET = join(PACKETS, readdirSync(PACKETS).sort().at(-1)!);
const ARTEFACTS = join(ROOT, "test-artefacts");
let bench: OpenedBench;

beforeAll(async () => {
  mkdirSync(ARTEFACTS, { recursive: true });
  bench = await openBenchOn([{ title: "Weak at the top", vehicle: "family sedan", packet: PACKET }]);
}, 120_000);
afterAll(() => bench?.close());

async function openSheet(scheme: "light" | "dark" = "light", table?: string): Promise<Page> {
  const page = await bench.page({ scheme });
  await page.context().grantPermissions(["clipboard-read", "clipboard-write"]);
  await openJob(page, "Weak at the top");
  await goTo(page, "Change sheet");
  if (table !== undefined) await page.getByRole("navigation", { name: "Tables" }).getByRole("link", { name: table }).click();
  await page.getByRole("grid").waitFor();
  return page;
}

const cellWords = (page: Page) => page.locator("#cell-words").textContent();
const cellText = async (page: Page, row: number, column: number): Promise<string> => (await page.locator(`#cell-${row}-${column}`).textContent()) ?? "";
const figureOf = async (page: Page, row: number, column: number): Promise<number> => Number(/^-?[\d.]+/.exec(await cellText(page, row, column))![0]);
const undo = async (page: Page): Promise<void> => {
  await page.getByRole("button", { name: "Undo" }).and(page.locator(":enabled")).click();
  await idle(page);
};

test("before anything is decided the drive is replayed with all that is asked for", { timeout: 120_000 }, async () => {
  const page = await openSheet();
  const replay = page.getByRole("region", { name: "The drive replayed" });
  await replay.getByText(/^With all that is asked for, .* over the recorded drive (falls|rises|stays)/).waitFor({ timeout: 30_000 });
  await replay.getByRole("radio", { name: "Air" }).check();
  await replay.getByText(/disagreement of meter and speed-density/).waitFor();
  await page.getByText("Nothing is decided yet. The tables").waitFor();
  await page.close();
});

test("accept a table, hold a region and a cell by keys alone, and take each back", { timeout: 120_000 }, async () => {
  const page = await openSheet("light", "Volumetric efficiency");
  await page.getByRole("grid").focus();
  await page.keyboard.press("Control+a");
  await page.keyboard.press("a");
  await page.getByText(/Decided: \d+ accepted/).waitFor();
  expect(await cellText(page, 2, 2)).toContain("was ");
  await page.getByText(/^With the decisions so far/).waitFor({ timeout: 30_000 });

  await page.getByRole("grid").focus();
  await page.keyboard.press("PageDown");
  await page.keyboard.press("Home");
  await page.keyboard.press("Shift+ArrowRight");
  await page.keyboard.press("Shift+ArrowUp");
  await page.keyboard.press("h");
  await page.getByText(/Decided: \d+ accepted, 4 held/).waitFor();
  expect(await cellWords(page)).toContain("Held at what it was.");
  await undo(page);
  await page.getByText(/Decided: \d+ accepted;/).waitFor();
  await undo(page);
  await page.getByText("; nothing is decided yet.").waitFor();
  await page.close();
});

test("what the hand changes adds up, steps back, asks for its reason, and is told by why", { timeout: 120_000 }, async () => {
  const page = await openSheet("light", "Volumetric efficiency");
  const before = await figureOf(page, 0, 0);
  await page.getByRole("grid").focus();
  await page.keyboard.type("50");
  await page.keyboard.press("Enter");
  // Typing goes on upwards, as a column is typed.
  await page.keyboard.type("51,5");
  await page.keyboard.press("Enter");
  expect([await figureOf(page, 0, 0), await figureOf(page, 1, 0)]).toEqual([50, 51.5]);
  await page.locator("#cell-0-0").click();
  await page.getByLabel(/^Amount/).fill("1.1");
  await page.getByRole("button", { name: "Multiply" }).click();
  expect(await figureOf(page, 0, 0)).toBeCloseTo(55, 6);
  await page.getByRole("button", { name: "Step back" }).click();
  expect(await figureOf(page, 0, 0)).toBe(50);
  await page.getByText("2 cells changed by hand, not kept yet.").waitFor();
  expect(await page.getByRole("button", { name: "Keep the change" }).isDisabled()).toBe(true);
  await page.getByLabel("Reason for going over the fit by hand").fill("idle hunted on the bench");
  await page.keyboard.press("Enter");
  await page.getByText(/Decided: 2 by hand/).waitFor();

  await page.getByRole("grid").focus();
  await page.keyboard.press("w");
  const margin = page.getByRole("complementary", { name: "Beside it" });
  await margin.getByText(/set to 50 % by hand\. Reason: idle hunted on the bench\./).waitFor();
  await page.keyboard.press("Escape");
  await undo(page);
  expect(await figureOf(page, 0, 0)).toBe(before);
  await page.close();
});

test("a table goes through the clipboard with its axes and comes back changed", { timeout: 120_000 }, async () => {
  const page = await openSheet("light", "Volumetric efficiency");
  await page.getByRole("button", { name: "Copy all" }).click();
  await page.getByText("Copied with its axes.").waitFor();
  const text = await page.evaluate(() => navigator.clipboard.readText());
  const lines = text.split("\n").map((line) => line.split("\t"));
  expect(lines[0]![0]).toBe("");
  expect(lines[1]!.length).toBe(lines[0]!.length);
  lines[2]![3] = "61,5";
  await page.evaluate((changed) => navigator.clipboard.writeText(changed), lines.map((line) => line.join("\t")).join("\r\n"));
  // The cursor stands elsewhere: the axes say where the cells belong.
  await page.locator("#cell-3-5").click();
  await page.keyboard.press("Control+v");
  await page.getByText("The cells went where their axes say.").waitFor();
  expect(await figureOf(page, 1, 2)).toBe(61.5);
  await page.getByText("1 cell changed by hand, not kept yet.").waitFor();
  await page.getByRole("button", { name: "Leave it" }).click();
  await page.close();
});

test("pictures: lines, the change with its confidence, and a shape that the arrow keys turn", { timeout: 120_000 }, async () => {
  const page = await openSheet("light", "Volumetric efficiency");
  await page.getByRole("radio", { name: "Change", exact: true }).check();
  await page.getByRole("figure").getByText("What the recordings ask for, cell by cell; the more solid, the surer.", { exact: true }).waitFor();
  expect(await page.locator(".pic-field pattern").count()).toBeGreaterThan(0);
  await page.getByRole("radio", { name: "Shape" }).check();
  const shape = page.getByRole("group", { name: /turn with the arrow keys/ });
  const drawn = (): Promise<string> => shape.innerHTML();
  const first = await drawn();
  await shape.focus();
  await page.keyboard.press("ArrowRight");
  expect(await drawn()).not.toBe(first);
  await page.getByRole("radio", { name: "As it is" }).check();
  await page.close();
});

test("imperial by quantity: the grid's axes and its words change together", { timeout: 120_000 }, async () => {
  const page = await openSheet("light", "Volumetric efficiency");
  const first = await cellWords(page);
  await page.getByLabel("Units").selectOption("imperial");
  await expect.poll(() => cellWords(page)).toContain("psi");
  expect(first).toContain("kPa");
  await page.getByLabel("Units").selectOption("metric");
  await expect.poll(() => cellWords(page)).toBe(first);
  await page.close();
});

test("a revision is made, compared with the factory, taken away three ways; its promise waits for the drive", { timeout: 180_000 }, async () => {
  const page = await openSheet("light", "Volumetric efficiency");
  await page.getByRole("button", { name: "Accept the table" }).click();
  await page.getByText(/Decided: \d+ accepted/).waitFor();
  const form = page.locator("section", { has: page.getByRole("heading", { name: "Next revision" }) });
  await form.getByLabel("Name").fill("air, first round");
  await form.getByLabel("Why").fill("one evening's drive");
  await form.getByRole("button", { name: "Make the revision" }).click();
  await page.getByText("1. air, first round").waitFor({ timeout: 60_000 });
  await page.getByRole("heading", { name: "Did revision 1 do what it promised?" }).waitFor({ timeout: 30_000 });
  await page
    .getByText(/was not driven yet/)
    .first()
    .waitFor();

  await page.getByLabel("What changed from").selectOption("0");
  await page.getByRole("combobox", { name: /^to/ }).selectOption("1");
  await page.getByRole("button", { name: "Compare" }).click();
  const told = page.getByRole("status", { name: "From As received to Revision 1, air, first round" });
  await told.getByText(/1 table differs/).waitFor({ timeout: 30_000 });
  await told.getByText("Show it").click();
  await told.locator("svg.pic-field").waitFor();

  await page.getByRole("button", { name: "Copy as text" }).click();
  await page.getByText("Copied 1 table of revision 1 as tab-separated text.").waitFor();
  expect(await page.evaluate(() => navigator.clipboard.readText())).toMatch(/^Volumetric efficiency \[%\]\n\t400\t/);
  for (const [name, file] of [
    ["Changed sheets", "revision-1-changed.zip"],
    ["All sheets", "revision-1.zip"],
    ["Bundle with reasons", "revision-1-bundle.zip"],
  ] as const) {
    const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name }).click()]);
    expect(download.suggestedFilename()).toContain(file);
  }
  await page.close();
});

test.each(["light", "dark"] as const)("the sheet has nothing against WCAG 2.2 AA, %s", { timeout: 120_000 }, async (scheme) => {
  const page = await openSheet(scheme, "Airflow meter curve");
  await page.getByText(/^With (all that is asked for|the decisions so far)/).waitFor({ timeout: 30_000 });
  await page.getByRole("grid").focus();
  await page.keyboard.type("3");
  await page.keyboard.press("Enter");
  await page.getByLabel("Reason for going over the fit by hand").waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.screenshot({ path: join(ARTEFACTS, `change-sheet-by-hand-${scheme}-1366.png`) });
  await page.close();
});
