import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { type Browser, chromium, type Page } from "playwright-core";
import { chromiumArgs, findChromium } from "../../scripts/chromium.mjs";
import type { Book } from "../../src/book/index.ts";

export const ROOT = join(import.meta.dirname, "../..");

/** Where the built program lies; another build can be named. */
export const BUILD = process.env.FETTLE_BUILD ?? join(ROOT, "dist");

/** The built program: what a person runs, not the sources. */
export const built = (path: string): Promise<Record<string, (...given: never[]) => unknown>> => import(pathToFileURL(join(BUILD, path)).href);

export interface OpenedBench {
  readonly url: string;
  readonly origin: string;
  readonly browser: Browser;
  readonly folder: string;
  page(options?: { readonly width?: number; readonly height?: number; readonly scheme?: "light" | "dark" }): Promise<Page>;
  close(): Promise<void>;
}

/**
 * A real server on a real book, with a job for each packet folder given, and a browser to look at it with.
 *
 * @param prepare  brings the book further before anyone looks at it
 */
export async function openBenchOn(
  jobs: readonly { readonly title: string; readonly vehicle: string; readonly packet?: string }[],
  prepare: (book: Book) => Promise<void> = async () => {},
): Promise<OpenedBench> {
  const { createBook, createJob, addFiles } = (await built("book/index.js")) as never as typeof import("../../src/book/index.ts");
  const { filesOf } = (await built("cli/load-packet.js")) as never as typeof import("../../src/cli/load-packet.ts");
  const { openBench } = (await built("server/index.js")) as never as typeof import("../../src/server/index.ts");
  const folder = mkdtempSync(join(tmpdir(), "fettle-bench-"));
  const book = createBook(join(folder, "book"), { by: "ana", now: () => new Date().toISOString() });
  for (const { title, vehicle, packet } of jobs) {
    const slug = createJob(book, { title, vehicle });
    if (packet !== undefined) addFiles(book, slug, filesOf(packet));
  }
  await prepare(book);
  const running = await openBench(book, {});
  const browser = await chromium.launch({ executablePath: findChromium()!, args: chromiumArgs() });
  return {
    url: running.url,
    origin: new URL(running.url).origin,
    browser,
    folder,
    async page({ width = 1366, height = 768, scheme = "light" } = {}) {
      const page = await browser.newPage({ viewport: { width, height }, colorScheme: scheme });
      await page.goto(running.url);
      return page;
    },
    async close() {
      await browser.close();
      await running.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Waits until the job's page says that nothing is under way. */
export async function idle(page: Page): Promise<void> {
  await page.waitForSelector('[data-idle="yes"]', { timeout: 90_000 });
}

/** Opens a job from the board by its title. */
export async function openJob(page: Page, title: string): Promise<void> {
  await page.getByRole("link", { name: title }).first().click();
  await idle(page);
}

/** Goes to a station by the spine. */
export async function goTo(page: Page, station: string): Promise<void> {
  await page.getByRole("navigation", { name: "Stations of the job" }).getByRole("link", { name: station }).click();
  await idle(page);
  // A station's code comes when it is first opened.
  await page.getByText("Opening the station.").waitFor({ state: "detached" });
}

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** What stands against WCAG 2.2 AA on the page as it is, as far as rules can find it. */
export async function accessibilityFaults(page: Page): Promise<readonly string[]> {
  await page.evaluate(AXE);
  const found = await page.evaluate(() =>
    (
      globalThis as never as {
        axe: { run(where: Document, how: object): Promise<{ violations: { id: string; nodes: { target: string[]; failureSummary: string }[] }[] }> };
      }
    ).axe.run(document, {
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    }),
  );
  return found.violations.map(({ id, nodes }) => `${id} at ${nodes[0]!.target.join(" ")}: ${nodes[0]!.failureSummary}`);
}
