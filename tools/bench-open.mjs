// How long a station of the bench takes to open on the demo book, in a browser without a screen; and what the first load weighs.
// Usage: npm run bench does it too; alone: node tools/bench-open.mjs [folder of a build, else dist]
// A station has opened when its first heading, picture or field is drawn: two frames after the page has it.
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { gzipSync } from "node:zlib";
import { chromium } from "playwright-core";
import { chromiumArgs, findChromium } from "../scripts/chromium.mjs";
import { at } from "../scripts/paths.mjs";

const STATIONS = ["intake", "reading", "inspection", "recordings", "diagnosis", "change-sheet", "pulls", "handover"];
const MOST_MS = 200;
const MOST_BYTES = 350_000;
const ROUNDS = 3;
const build = process.argv[2] ?? at("dist");

/** @param {string} file @returns {Promise<any>} */
const built = (file) => import(pathToFileURL(path.join(build, `${file}.js`)).href);
const { beginDemoBook, fillDemoBook } = await built("demo/index");
const { openBook, jobSlugs } = await built("book/index");
const { openBench } = await built("server/index");

/** Runs in the page: goes to a station and waits until it is drawn [ms]. @param {string} hash */
function openInPage(hash) {
  return new Promise((resolve) => {
    const main = /** @type {HTMLElement} */ (document.querySelector("main#station"));
    const before = main.firstElementChild;
    const startMs = performance.now();
    const isThere = () =>
      main.firstElementChild !== null && main.firstElementChild !== before && main.querySelector(".opening") === null;
    const watch = new MutationObserver(() => {
      if (!isThere()) return;
      watch.disconnect();
      requestAnimationFrame(() => requestAnimationFrame(() => resolve(performance.now() - startMs)));
    });
    watch.observe(main, { childList: true, subtree: true });
    location.hash = hash;
  });
}

const scratch = fs.mkdtempSync(path.join(os.tmpdir(), "fettle-open-"));
let running;
let browser;
try {
  process.stdout.write("making the demo book\n");
  const startMs = performance.now();
  beginDemoBook(scratch, "2026-03-14");
  await fillDemoBook(scratch);
  process.stdout.write(`demo book made in ${((performance.now() - startMs) / 1000).toFixed(1)} s\n`);
  const book = openBook(scratch, { by: "bench", now: () => "2026-03-14T12:00:00.000Z" });
  running = await openBench(book, {});
  browser = await chromium.launch({ executablePath: findChromium(), args: chromiumArgs() });
  const page = await browser.newPage({ viewport: { width: 1366, height: 768 } });
  await page.goto(running.url);
  let worst = 0;
  for (const slug of jobSlugs(book)) {
    await page.evaluate((hash) => {
      location.hash = hash;
    }, `#/job/${slug}/intake`);
    await page.waitForSelector('[data-idle="yes"] main#station form', { timeout: 120_000 });
    const best = STATIONS.map(() => Number.POSITIVE_INFINITY);
    for (let round = 0; round < ROUNDS; round++)
      for (const [i, station] of STATIONS.entries()) {
        // From another station each time, so that the one asked for is always opened anew.
        await page.evaluate(openInPage, `#/job/${slug}/${STATIONS[(i + 3) % STATIONS.length]}`);
        best[i] = Math.min(best[i] ?? 0, await page.evaluate(openInPage, `#/job/${slug}/${station}`));
        await page.waitForTimeout(150);
      }
    worst = Math.max(worst, ...best);
    process.stdout.write(
      `${slug}: ${STATIONS.map((station, i) => `${station} ${best[i]?.toFixed(0)}`).join(", ")} ms\n`,
    );
  }
  const assets = path.join(build, "web", "assets");
  const first = fs.readdirSync(assets).filter((name) => /^index.*\.js$/.test(name));
  const bytes = first.reduce((sum, name) => sum + gzipSync(fs.readFileSync(path.join(assets, name))).length, 0);
  process.stdout.write(
    `a station opens in ${worst.toFixed(0)} ms at most, target < ${MOST_MS} ms: ${worst < MOST_MS ? "held" : "MISSED"}\n`,
  );
  process.stdout.write(
    `first load ${(bytes / 1000).toFixed(0)} kB of compressed script, target < ${MOST_BYTES / 1000} kB: ${bytes < MOST_BYTES ? "held" : "MISSED"}\n`,
  );
  process.exitCode = worst < MOST_MS && bytes < MOST_BYTES ? 0 : 1;
} finally {
  await browser?.close();
  await running?.close();
  fs.rmSync(scratch, { recursive: true, force: true });
}
