import { mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { type Browser, chromium, type Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { chromiumArgs, findChromium } from "../../scripts/chromium.mjs";
import { accessibilityFaults, BUILD, goTo, idle, openJob, ROOT } from "./bench.ts";

const built = (path: string): Promise<never> => import(pathToFileURL(join(BUILD, path)).href) as Promise<never>;
const TODAY = "2026-03-14";
const VAN = "Idle hangs at the kerb";
const WAGON = "Fuel smell since the injectors";
const RALLY = "Rally school: set up after the rebuild";
const ARTEFACTS = join(ROOT, "test-artefacts");
const SIZES = [
  ["light", 1366, 768],
  ["dark", 1366, 768],
  ["light", 1920, 1080],
  ["dark", 1920, 1080],
] as const;

let folder: string;
let demo: typeof import("../../src/demo/index.ts");
let books: typeof import("../../src/book/index.ts");
let server: typeof import("../../src/server/index.ts");
let desk: typeof import("../../src/desk/index.ts");
let running: Awaited<ReturnType<typeof server.openBench>>;
let browser: Browser;

const opened = (where: string) => books.openBook(where, { by: "ana", now: () => `${TODAY}T12:00:00.000Z` });

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "fettle-demo-"));
  mkdirSync(ARTEFACTS, { recursive: true });
  [demo, books, server, desk] = await Promise.all([built("demo/index.js"), built("book/index.js"), built("server/index.js"), built("desk/index.js")]);
  demo.beginDemoBook(join(folder, "demo"), TODAY);
  await demo.fillDemoBook(join(folder, "demo"));
  const options = { by: "ana", now: () => new Date().toISOString() };
  const shelf = server.shelfOf({ own: join(folder, "own"), demo: join(folder, "demo") }, options);
  running = await server.openBench(shelf.take("demo"), { shelf });
  browser = await chromium.launch({ executablePath: findChromium()!, args: chromiumArgs() });
}, 600_000);

afterAll(async () => {
  await browser?.close();
  await running?.close();
  rmSync(folder, { recursive: true, force: true });
});

async function pageAt(scheme: "light" | "dark" = "light", width = 1366, height = 768): Promise<Page> {
  const page = await browser.newPage({ viewport: { width, height }, colorScheme: scheme });
  await page.goto(running.url);
  return page;
}

test("the demo book is whole, and every byte is what its journals say", () => {
  const check = books.checkBook(opened(join(folder, "demo")));
  expect(check).toMatchObject({ jobs: 5, damaged: [], missing: [], leftOver: [] });
  expect(demo.isDemoWhole(opened(join(folder, "demo")))).toBe(true);
});

test("each vehicle stands where its story says", () => {
  const book = opened(join(folder, "demo"));
  const states = new Map(books.jobSlugs(book).map((slug) => [books.readJob(book, slug).state.title, books.readJob(book, slug).state]));
  const job = (title: string) => states.get(title)!;
  expect([...states.keys()].sort()).toEqual(demo.DEMO_VEHICLES.map((vehicle) => vehicle.title).sort());

  const arrived = job("Down on power over the pass");
  expect(arrived.files).toEqual([]);
  expect(desk.nextAction(arrived).station).toBe("intake");

  const waiting = job(VAN);
  expect(waiting.waits).toMatchObject([{ kind: "part", fault: "air.throttle-overflow" }]);
  const leading = desk.analysisOf(book, waiting.slug).result.suspects.toSorted((a, b) => b.probability - a.probability)[0]!;
  expect(leading.fault).toBe("air.throttle-overflow");
  expect(leading.probability).toBeGreaterThan(0.8);

  const inspected = job(WAGON);
  const answers = Object.values(inspected.answers).map(({ answer }) => answer);
  expect(answers).toContain("accepted");
  expect(answers).toContain("disputed");
  expect(Object.values(inspected.answers).every(({ why }) => why !== undefined)).toBe(true);
  expect(desk.openCounts(book, inspected).inspection).toBeGreaterThan(0);

  const corrected = job(RALLY);
  expect(corrected.revisions).toHaveLength(1);
  expect(corrected.files.filter((file) => file.path.startsWith("pulls/")).map((file) => file.revision)).toEqual(expect.arrayContaining([0, 1]));
  expect(desk.verifyJob(book, corrected.slug)?.verification.verdict).toBe("verified");
  expect(desk.nextAction(corrected, desk.openCounts(book, corrected)).station).toBe("handover");

  const closed = job("Uneven idle after the salt season");
  expect(closed.resumed).toHaveLength(1);
  expect(books.stationStates(closed).handover).toBe("done");
});

test("the same day makes the same vehicle, entry for entry", { timeout: 120_000 }, async () => {
  const again = join(folder, "again");
  demo.beginDemoBook(again, TODAY);
  await demo.fillDemoBook(again, () => {}, demo.DEMO_VEHICLES.slice(0, 2));
  const journal = (where: string, slug: string): string => readFileSync(join(folder, where, "jobs", slug, "journal.ndjson"), "utf8");
  for (const slug of books.jobSlugs(opened(again))) expect(journal("again", slug)).toBe(journal("demo", slug));
  expect(books.jobSlugs(opened(again))).toHaveLength(2);
});

test("a demo that was cut off goes on where it stood", { timeout: 60_000 }, async () => {
  const cut = join(folder, "cut");
  demo.beginDemoBook(cut, TODAY);
  await demo
    .fillDemoBook(cut, () => {}, [
      {
        ...demo.DEMO_VEHICLES[0]!,
        tell: async () => {
          throw new Error("the lid was closed");
        },
      },
    ])
    .catch(() => {});
  expect(books.jobSlugs(opened(cut))).toHaveLength(1);
  await demo.fillDemoBook(cut, () => {}, demo.DEMO_VEHICLES.slice(0, 1));
  expect(books.jobSlugs(opened(cut))).toEqual(["down-on-power-over-the-pass"]);
  expect(demo.isDemoWhole(opened(cut))).toBe(false);
});

test("the board says where each job stands, finds any word, and is worked by keys", { timeout: 60_000 }, async () => {
  const page = await pageAt();
  await page.getByText("Waits for throttle body, ordered").waitFor();
  await page.getByText(/Answer the .*finding/).waitFor();
  await page.keyboard.press("/");
  await page.keyboard.type("vacuum hose");
  await page.getByRole("heading", { name: "Uneven idle after the salt season" }).waitFor();
  await page.keyboard.press("Escape");
  await page.getByRole("heading", { name: "Can go on" }).waitFor();
  await page.locator("h1").click();
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Enter");
  await page.getByRole("navigation", { name: "Stations of the job" }).waitFor();
  await page.close();
});

test("a demo is marked as one everywhere; one key leads to an empty book of one's own, and back", { timeout: 60_000 }, async () => {
  const page = await pageAt();
  await page.getByRole("heading", { name: "This is the demo book" }).waitFor();
  await openJob(page, RALLY);
  expect(await page.locator("h1").textContent()).toContain("Demo");
  await page.keyboard.press("g");
  await page.getByRole("heading", { name: "This is the demo book" }).waitFor();
  await page.keyboard.press("d");
  await page.getByRole("heading", { name: "Nothing is in this book yet" }).waitFor();
  expect(await page.locator("h1").textContent()).not.toContain("Demo");
  for (const [scheme, width, height] of SIZES) {
    await page.emulateMedia({ colorScheme: scheme });
    await page.setViewportSize({ width, height });
    await page.screenshot({ path: join(ARTEFACTS, `demo-own-empty-${scheme}-${width}.png`) });
  }
  await page.keyboard.press("d");
  await page.getByRole("heading", { name: "This is the demo book" }).waitFor();
  await page.close();
});

/** What each picture shows: the station and the vehicle at which it has most to show. */
const SHOWN: readonly (readonly [station: string, job: string])[] = [
  ["Intake", WAGON],
  ["Reading", WAGON],
  ["Inspection", WAGON],
  ["Recordings", VAN],
  ["Diagnosis", VAN],
  ["Change sheet", WAGON],
  ["Pulls", RALLY],
  ["Handover", RALLY],
];

test("every station on the demo book, both themes, both screens: a picture to look at, and no barrier that the rules find", { timeout: 600_000 }, async () => {
  const faults: string[] = [];
  for (const [width, height] of [
    [1366, 768],
    [1920, 1080],
  ] as const) {
    const page = await pageAt("light", width, height);
    const keep = async (name: string): Promise<void> => {
      for (const scheme of ["light", "dark"] as const) {
        await page.emulateMedia({ colorScheme: scheme });
        await page.waitForTimeout(250);
        await page.screenshot({ path: join(ARTEFACTS, `demo-${name.toLowerCase().replace(" ", "-")}-${scheme}-${width}.png`) });
        if ((scheme === "light") === (width === 1366)) for (const fault of await accessibilityFaults(page)) faults.push(`${name} (${scheme}): ${fault}`);
      }
    };
    await page.getByRole("heading", { name: "Can go on" }).waitFor();
    await keep("Board");
    for (const title of [WAGON, VAN, RALLY]) {
      await page.getByRole("heading", { name: "Can go on" }).waitFor();
      await openJob(page, title);
      for (const [station] of SHOWN.filter(([, job]) => job === title)) {
        await goTo(page, station);
        if (station === "Handover") await page.frameLocator("iframe").getByRole("heading").first().waitFor({ timeout: 90_000 });
        await page.waitForTimeout(300);
        await idle(page);
        await page.waitForFunction(() => !/(Reckoning|Replaying|Opening)[^.]*\./.test(document.querySelector("main")!.textContent!), undefined, {
          timeout: 90_000,
        });
        await keep(station);
      }
      await page.keyboard.press("g");
    }
    await page.close();
  }
  expect(faults).toEqual([]);
});
