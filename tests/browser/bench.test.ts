import { readdirSync, readFileSync, statSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import { afterAll, beforeAll, expect, test } from "vitest";
import { accessibilityFaults, BUILD, goTo, idle, type OpenedBench, openBenchOn, openJob, ROOT } from "./bench.ts";

const PACKETS = join(ROOT, "examples/packets");
const JOB = "Idle drops at stops";
const STATIONS = ["Intake", "Reading", "Inspection", "Recordings", "Diagnosis", "Change sheet", "Pulls", "Handover"];

let bench: OpenedBench;

beforeAll(async () => {
  const packet = readdirSync(PACKETS).sort()[0]!;
  bench = await openBenchOn([
    { title: JOB, vehicle: "estate car", packet: join(PACKETS, packet) },
    { title: "Only begun", vehicle: "van" },
  ]);
}, 120_000);
afterAll(() => bench?.close());

test("the whole job: read, weigh, enter an outcome, decide, make a revision, hand over, undo", { timeout: 180_000 }, async () => {
  const page = await bench.page();
  await openJob(page, JOB);
  await goTo(page, "Inspection");
  await page.getByRole("heading", { name: "What the last hand changed" }).waitFor();
  await goTo(page, "Diagnosis");
  const leader = page.locator(".suspect").first();
  await leader.getByRole("heading").first().waitFor();
  const before = await page.locator(".likelihood").allTextContents();
  await page.getByText("Outcomes of other tests").click();
  await page.locator(".test").filter({ hasText: "Smoke test" }).first().getByRole("group", { name: "Outcome" }).getByRole("button").first().click();
  await idle(page);
  await expect.poll(async () => page.locator(".observed li").count(), { timeout: 60_000 }).toBe(1);
  expect((await page.locator(".likelihood").allTextContents()).length).toBeGreaterThan(0);
  expect(before.length).toBeGreaterThan(0);

  await goTo(page, "Change sheet");
  await page.getByRole("button", { name: "Accept the table" }).click();
  await page.getByText("Decided:").first().waitFor();
  await page.getByLabel("Name", { exact: true }).fill("air tables, first round");
  await page.getByRole("button", { name: "Make the revision" }).click();
  await page.getByRole("link", { name: "All sheets" }).waitFor({ timeout: 60_000 });

  await goTo(page, "Handover");
  const report = page.frameLocator("iframe");
  await report.getByRole("heading").first().waitFor({ timeout: 60_000 });
  await page.getByRole("button", { name: "Undo" }).click();
  await idle(page);
  await page.close();
});

test("numbers are moved in and typed by the keyboard, and a change by hand asks for its reason", { timeout: 120_000 }, async () => {
  const page = await bench.page();
  await openJob(page, JOB);
  await goTo(page, "Change sheet");
  const grid = page.getByRole("grid");
  await grid.focus();
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Shift+ArrowRight");
  expect(await page.locator('[aria-selected="true"]').count()).toBe(2);
  await page.keyboard.type("42");
  await page.keyboard.press("Enter");
  await page.getByLabel(/^Reason for/).fill("measured by hand");
  await page.getByRole("button", { name: "Keep the change" }).click();
  await page.getByText("Decided:").first().waitFor();
  await page.close();
});

test("a table taken for the wrong role is set right at the inspection; one that does not fit is refused beside it", { timeout: 120_000 }, async () => {
  const page = await bench.page();
  await openJob(page, JOB);
  await goTo(page, "Inspection");
  const row = page.locator(".all-tables tr", { hasText: "Volumetric efficiency" });
  const choice = row.getByRole("combobox", { name: 'What "Volumetric efficiency" is' });
  expect(await choice.inputValue()).toBe("air.ve");
  await choice.selectOption({ label: "Idle base airflow, now “Idle base airflow”" });
  await row.getByRole("alert").getByText("is a grid over two axes").waitFor();
  expect(await choice.inputValue()).toBe("air.ve");
  await choice.selectOption({ label: "None of these" });
  await row.getByText("chosen by hand").waitFor();
  await idle(page);
  expect(await row.getByRole("alert").count()).toBe(0);
  await choice.selectOption({ label: "As the sheet has it" });
  await expect.poll(() => choice.inputValue(), { timeout: 60_000 }).toBe("air.ve");
  await idle(page);
  const undo = page.getByRole("button", { name: "Undo" }).and(page.locator(":enabled"));
  await undo.click();
  await row.getByText("chosen by hand").waitFor();
  await undo.click();
  await expect.poll(() => choice.inputValue(), { timeout: 60_000 }).toBe("air.ve");
  await idle(page);
  await page.close();
});

test("every station of a job that has only begun teaches what would fill it, and raises no barrier that the rules find", { timeout: 120_000 }, async () => {
  const page = await bench.page();
  await openJob(page, "Only begun");
  const faults: string[] = [];
  for (const station of STATIONS) {
    await goTo(page, station);
    expect((await page.locator("main#station").textContent())!.length).toBeGreaterThan(40);
    for (const fault of await accessibilityFaults(page)) faults.push(`${station}: ${fault}`);
  }
  expect(faults).toEqual([]);
  await page.close();
});

test("strangers are refused: no token, a foreign host, a page of another origin; and the policy is strict", { timeout: 60_000 }, async () => {
  expect((await fetch(`${bench.origin}/api/board`)).status).toBe(403);
  const port = Number(new URL(bench.origin).port);
  const status = await new Promise<number>((resolve, reject) => {
    import("node:http").then(({ request }) => {
      const asked = request(
        { host: "127.0.0.1", port, path: new URL(bench.url).pathname + new URL(bench.url).search, headers: { host: "evil.example" } },
        (answer) => resolve(answer.statusCode ?? 0),
      );
      asked.on("error", reject);
      asked.end();
    }, reject);
  });
  expect(status).toBe(403);

  // One context for both pages, so that the stranger sits beside the cookie.
  const context = await bench.browser.newContext();
  const page = await context.newPage();
  await page.goto(bench.url);
  const answer = await page.goto(`${bench.origin}/`);
  const policy = answer!.headers()["content-security-policy"] ?? "";
  expect(policy).toContain("default-src 'none'");
  expect(policy).toContain("script-src 'self'");
  expect(policy).not.toContain("unsafe-eval");

  // A page of another origin, in the same browser that holds the bench's cookie.
  const stranger = createServer((_, response) => response.end("<!doctype html><title>elsewhere</title>"));
  await new Promise<void>((resolve) => stranger.listen(0, "127.0.0.1", resolve));
  const foreign = await context.newPage();
  await foreign.goto(`http://127.0.0.1:${(stranger.address() as AddressInfo).port}/`);
  const read = await foreign.evaluate(
    (url) =>
      fetch(`${url}/api/board`, { credentials: "include" }).then(
        (r) => `read ${r.status}`,
        () => "refused",
      ),
    bench.origin,
  );
  expect(read).toBe("refused");
  const written = await foreign.evaluate(
    (url) =>
      fetch(`${url}/api/jobs`, { method: "POST", mode: "no-cors", credentials: "include", body: '{"title":"from elsewhere"}' }).then(
        () => "sent",
        () => "refused",
      ),
    bench.origin,
  );
  expect(["sent", "refused"]).toContain(written);
  const titles = await page.evaluate(() => fetch("/api/board").then((r) => r.json() as Promise<{ jobs: { title: string }[] }>));
  expect(titles.jobs.map((job) => job.title)).not.toContain("from elsewhere");
  await context.close();
  stranger.close();
});

test("the first load is under 350 kB of compressed script", () => {
  const assets = join(BUILD, "web/assets");
  const first = readdirSync(assets).filter((name) => /^index.*\.js$/.test(name));
  expect(first.length).toBeGreaterThan(0);
  const bytes = first.reduce((sum, name) => sum + (statSync(join(assets, name)).isFile() ? gzipSync(readFileSync(join(assets, name))).length : 0), 0);
  expect(bytes).toBeLessThan(350_000);
});
