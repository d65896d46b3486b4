import { appendFileSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { accessibilityFaults, type OpenedBench, openBenchOn, ROOT } from "./bench.ts";

const PACKETS = join(ROOT, "examples/packets");
const PACKET = join(PACKETS, readdirSync(PACKETS).sort()[0]!);
const ARTEFACTS = join(ROOT, "test-artefacts");
let bench: OpenedBench;
let logs: string;

beforeAll(async () => {
  mkdirSync(ARTEFACTS, { recursive: true });
  logs = mkdtempSync(join(tmpdir(), "fettle-logs-"));
  bench = await openBenchOn([
    { title: "Rough idle", vehicle: "estate car", packet: PACKET },
    { title: "Nothing yet", vehicle: "van" },
  ]);
}, 120_000);
afterAll(async () => {
  await bench?.close();
  rmSync(logs, { recursive: true, force: true });
});

test("the guide follows a recording while it is written, and nothing starts before the cautions", { timeout: 120_000 }, async () => {
  const page = await bench.page();
  await page.goto(`${bench.origin}/#/drive/rough-idle`);
  await page.waitForSelector('[data-idle="yes"]', { timeout: 90_000 });
  const start = page.getByRole("button", { name: "Start the guide" });
  expect(await start.isDisabled()).toBe(true);
  await page.getByRole("checkbox", { name: /^Read\./ }).check();
  expect(await start.isDisabled()).toBe(true);
  await page.getByLabel(/^Folder into which the logger writes/).fill(join(logs, "missing"));
  await page.getByRole("button", { name: "Use it" }).click();
  await page.getByRole("alert").getByText("There is no such folder").waitFor();
  await page.getByLabel(/^Folder into which the logger writes/).fill(logs);
  await page.getByRole("button", { name: "Use it" }).click();
  await page.getByRole("combobox", { name: "Recording to follow" }).waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.screenshot({ path: join(ARTEFACTS, "drive-before-light-1366.png") });
  await start.click();
  await page.getByText("Waiting for a recording to be begun in the folder.").waitFor();

  // The logger begins its file only now, and the drive goes on while the page watches.
  const source = join(PACKET, "recordings", readdirSync(join(PACKET, "recordings")).sort().at(-1)!);
  const text = readFileSync(source, "utf8").split(/(?<=\n)/);
  const path = join(logs, "drive.csv");
  const head = text.slice(0, 60).join("");
  writeFileSync(path, head);
  const driven = async (): Promise<number> => Number(/(\d+) s driven/.exec((await page.locator("figcaption").textContent()) ?? "")?.[1] ?? 0);
  // In bursts that end anywhere, also within a line.
  const rest = text.slice(60, 6000).join("");
  for (let at = 0; at < rest.length; at += 20_011) {
    appendFileSync(path, rest.slice(at, at + 20_011));
    await page.waitForTimeout(60);
  }
  await expect.poll(driven, { timeout: 20_000 }).toBeGreaterThan(60);
  // The logger closes the file under another name and begins the next one: what was driven stays driven.
  const before = await driven();
  renameSync(path, join(logs, "drive.1.csv"));
  const firstRow = text.findIndex((line) => /^\s*"?[\d.,]+"?[,;\t]/.test(line));
  writeFileSync(path, [...text.slice(0, firstRow), ...text.slice(1000, 2000)].join(""));
  await expect.poll(driven, { timeout: 20_000 }).toBeGreaterThan(before);
  await page.getByText(/\d+ of \d+ visited/).waitFor();
  expect(await page.getByRole("textbox").count()).toBe(0);

  const smallest = await page.evaluate(() => {
    const sizes = [...document.querySelectorAll("main *")]
      .filter((element) => [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent!.trim() !== ""))
      .filter((element) => !(element instanceof SVGElement) && element.getClientRects().length > 0)
      .map((element) => Number.parseFloat(getComputedStyle(element).fontSize));
    return Math.min(...sizes);
  });
  expect(smallest).toBeGreaterThanOrEqual(28);
  const asked = await page.getByRole("heading", { level: 1 }).textContent();
  expect(asked).toMatch(/rpm$|visited/);
  await page.getByRole("button", { name: "Leave this one out" }).click();
  expect(await page.getByRole("heading", { level: 1 }).textContent()).not.toBe("");
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.screenshot({ path: join(ARTEFACTS, "drive-light-1366.png") });
  await page.getByText(/, 1 left out/).waitFor();
  await page.emulateMedia({ colorScheme: "dark" });
  expect(await accessibilityFaults(page)).toEqual([]);
  await page.screenshot({ path: join(ARTEFACTS, "drive-dark-1366.png") });
  await page.setViewportSize({ width: 1920, height: 1080 });
  await page.screenshot({ path: join(ARTEFACTS, "drive-dark-1920.png") });
  await page.getByText(/Nothing new for \d+ s\. Does the logger still write\?/).waitFor({ timeout: 20_000 });
  await page.close();
});

test("a job without a calibration or a drive says what the guide needs", { timeout: 60_000 }, async () => {
  const page = await bench.page();
  await page.goto(`${bench.origin}/#/drive/nothing-yet`);
  await page
    .getByText(/The job has no intake yet|The guide is worked out from/)
    .first()
    .waitFor({ timeout: 30_000 });
  await page.close();
});

test("files outside the watched folder are refused by the server", { timeout: 60_000 }, async () => {
  const page = await bench.page();
  const told = await page.evaluate(async (outside) => {
    const posted = await fetch("/api/watch", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ folder: "relative" }) });
    const source = new EventSource(`/api/jobs/rough-idle/follow?file=${encodeURIComponent(outside)}`);
    const heard = await new Promise<string>((resolve) => source.addEventListener("heard", (event) => resolve(event.data)));
    source.close();
    return { status: posted.status, heard };
  }, "../../etc/passwd.csv");
  expect(told.status).toBe(422);
  expect(JSON.parse(told.heard)).toMatchObject({ rows: 0, says: expect.stringMatching(/The folder holds no recording of that name|Waiting for a recording/) });
  await page.close();
});
