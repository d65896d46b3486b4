import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { readRecording } from "../../src/formats/index.ts";
import { accessibilityFaults, goTo, type OpenedBench, openBenchOn, openJob, ROOT } from "./bench.ts";

const PACKETS = join(ROOT, "examples/packets");
const PACKET = join(PACKETS, readdirSync(PACKETS).sort()[0]!);
let bench: OpenedBench;

beforeAll(async () => {
  bench = await openBenchOn([{ title: "Rough idle", vehicle: "estate car", packet: PACKET }]);
}, 120_000);
afterAll(() => bench?.close());

async function openRecordings() {
  const page = await bench.page();
  await openJob(page, "Rough idle");
  await goTo(page, "Recordings");
  const figures = page.getByRole("table").first();
  await figures.getByRole("row").nth(1).waitFor();
  /** The span that the statistics are of [s]. */
  const span = async (): Promise<[number, number]> => {
    const text = (await figures.locator("caption").textContent()) ?? "";
    return [...text.matchAll(/\d+\.\d/g)].map(Number) as [number, number];
  };
  return { page, figures, span };
}

test("zoom, pan, moments and the chosen span by keys alone", { timeout: 120_000 }, async () => {
  const { page, span } = await openRecordings();
  const whole = await span();
  await page.keyboard.press("+");
  const closer = await span();
  expect(closer[1] - closer[0]).toBeCloseTo(0.6 * (whole[1] - whole[0]), 0);
  await page.keyboard.press("ArrowRight");
  const right = await span();
  expect(right[0]).toBeGreaterThan(closer[0]);
  expect(right[1] - right[0]).toBeCloseTo(closer[1] - closer[0], 0);
  await page.keyboard.press("End");
  expect((await span())[1]).toBeCloseTo(whole[1], 0);
  await page.keyboard.press("Home");
  expect((await span())[0]).toBe(0);

  await page.keyboard.press("]");
  await page.getByText("The chosen span").waitFor();
  const moment = await span();
  expect(moment[1] - moment[0]).toBeLessThan(whole[1] - whole[0]);
  await page.keyboard.press("0");
  await page.keyboard.press("s");
  for (let i = 0; i < 5; i++) await page.keyboard.press(".");
  await page.keyboard.press("e");
  const byHand = await span();
  expect(byHand[0]).toBeCloseTo(moment[0], 0);
  expect(byHand[1]).toBeGreaterThan(byHand[0]);
  await page.close();
});

test("the wheel zooms about the pointer and the page stays where it is; dragging pans; with Shift it chooses", { timeout: 120_000 }, async () => {
  const { page, span } = await openRecordings();
  const [, endS] = await span();
  const box = (await page.getByRole("img", { name: /^Traces of/ }).boundingBox())!;
  const timeAt = (x: number, [from, to]: readonly [number, number]): number => from + ((x - box.x - 64) / (box.width - 64)) * (to - from);
  const x = box.x + 64 + 0.75 * (box.width - 64);
  await page.mouse.move(x, box.y + 100);
  await page.mouse.wheel(0, -400);
  await expect.poll(async () => (await span())[0]).toBeGreaterThan(0);
  const zoomed = await span();
  expect(timeAt(x, zoomed)).toBeCloseTo(timeAt(x, [0, endS]), -0.5);
  expect(await page.evaluate(() => scrollY)).toBe(0);

  await page.mouse.down();
  await page.mouse.move(x - 200, box.y + 100, { steps: 4 });
  await page.mouse.up();
  await expect.poll(async () => (await span())[0]).toBeGreaterThan(zoomed[0]);

  await page.keyboard.down("Shift");
  await page.mouse.move(box.x + 300, box.y + 100);
  await page.mouse.down();
  await page.mouse.move(box.x + 500, box.y + 100, { steps: 4 });
  await page.mouse.up();
  await page.keyboard.up("Shift");
  await page.getByText("The chosen span").waitFor();
  const chosen = await span();
  const inSight = (await page.getByRole("button", { name: "Let it go" }).isVisible()) && chosen[1] > chosen[0];
  expect(inSight).toBe(true);
  await page.close();
});

test("statistics are those of the file, worked out here from its rows", { timeout: 120_000 }, async () => {
  const { page, figures } = await openRecordings();
  const file = (await page
    .getByRole("combobox", { name: /^Recording/ })
    .locator("option:checked")
    .textContent())!.split(",")[0]!;
  const { recording } = readRecording(file, readFileSync(join(PACKET, file)));
  const rpm = [...recording.channels.rpm!.values].filter((value) => !Number.isNaN(value));
  const mean = rpm.reduce((sum, value) => sum + value, 0) / rpm.length;
  const sd = Math.sqrt(rpm.reduce((sum, value) => sum + (value - mean) ** 2, 0) / rpm.length);
  const cells = await figures
    .getByRole("row", { name: /^Engine speed/ })
    .getByRole("cell")
    .allTextContents();
  const [, toldMean, toldSd, least, greatest] = cells.map(Number);
  // The table shows four figures, whole ones from a thousand on.
  expect(Math.abs(toldMean! / mean - 1)).toBeLessThan(1e-3);
  expect(Math.abs(toldSd! / sd - 1)).toBeLessThan(1e-3);
  expect(least).toBeCloseTo(Math.min(...rpm), 0);
  expect(greatest).toBeCloseTo(Math.max(...rpm), 0);
  await page.close();
});

test("a region of the operating map, typed, finds its spans; a span visited stands in the traces", { timeout: 120_000 }, async () => {
  const { page, span } = await openRecordings();
  const map = page
    .getByRole("region", { name: "Where the engine was" })
    .or(page.locator("section", { hasText: "Where the engine was" }))
    .first();
  await expect.poll(async () => Number(await map.getByLabel("to [rpm]").inputValue())).toBeGreaterThan(500);
  await map.getByLabel("From [rpm]").fill("400");
  await map.getByLabel("to [rpm]").fill("100000");
  await map.getByRole("button", { name: "Find these" }).click();
  const first = map.getByRole("button", { name: / s$/ }).first();
  await first.waitFor();
  await first.click();
  await page.getByText("The chosen span").waitFor();
  const [from, to] = await span();
  expect(to).toBeGreaterThanOrEqual(from);
  await page.close();
});

test("a second recording lies under the first and can be shifted; the choice of signals is remembered", { timeout: 120_000 }, async () => {
  const { page } = await openRecordings();
  const asked: string[] = [];
  page.on("request", (request) => {
    if (request.url().includes("/recordings/1/window")) asked.push(request.url());
  });
  await page.getByLabel("Beside it, in thin lines").selectOption({ index: 1 });
  await page.getByRole("button", { name: "Draw it 0.1 s later" }).click();
  await expect.poll(() => page.getByLabel("Later by [s]").inputValue()).toBe("0.1");
  await expect.poll(() => asked.length).toBeGreaterThan(0);

  await page.getByText("Which signals are drawn").click();
  await page.getByRole("checkbox", { name: "Battery voltage" }).check();
  await page.getByRole("row", { name: /^Battery voltage/ }).waitFor();
  await page.reload();
  await page.getByRole("row", { name: /^Battery voltage/ }).waitFor({ timeout: 60_000 });
  await page.close();
});

test("a column taken for the wrong thing is put right for this file and undone, or for every file and forgotten", { timeout: 180_000 }, async () => {
  const { page } = await openRecordings();
  const summary = page.getByText(/^Columns: \d+ recognised/);
  const recognised = async (): Promise<number> => Number(/\d+/.exec((await summary.textContent())!)![0]);
  const before = await recognised();
  await summary.click();
  const first = page.getByRole("combobox", { name: /^What "/ }).first();
  await page.getByRole("checkbox", { name: /^What I correct holds for every recording/ }).uncheck();
  await first.selectOption("none");
  await expect.poll(recognised, { timeout: 60_000 }).toBe(before - 1);
  await page.getByRole("button", { name: "Undo" }).and(page.locator(":enabled")).click();
  await expect.poll(recognised, { timeout: 60_000 }).toBe(before);

  await page.getByRole("checkbox", { name: /^What I correct holds for every recording/ }).check();
  await first.selectOption("none");
  await expect.poll(recognised, { timeout: 60_000 }).toBe(before - 1);
  const forget = page.getByRole("button", { name: /^Forget what "/ });
  await forget.waitFor();
  expect(await accessibilityFaults(page)).toEqual([]);
  await forget.click();
  await expect.poll(recognised, { timeout: 60_000 }).toBe(before);
  await page.close();
});

test("the traces follow when the system goes from paper to bay, without a touch", { timeout: 120_000 }, async () => {
  const { page } = await openRecordings();
  const ground = () =>
    page.getByRole("img", { name: /^Traces of/ }).evaluate((element) => {
      const canvas = element instanceof HTMLCanvasElement ? element : element.querySelector("canvas")!;
      return [...canvas.getContext("2d")!.getImageData(3, 3, 1, 1).data].slice(0, 3).reduce((sum, part) => sum + part, 0);
    });
  await page.emulateMedia({ colorScheme: "light" });
  await expect.poll(ground).toBeGreaterThan(600);
  await page.emulateMedia({ colorScheme: "dark" });
  await expect.poll(ground).toBeLessThan(150);
  await page.close();
});
