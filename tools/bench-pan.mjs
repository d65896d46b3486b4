// Frames a second while panning a recording of 10 million rows on the bench, in a browser without a screen.
// Usage: npm run bench does it too; alone: node tools/bench-pan.mjs [folder of a build, else dist]
// The server, the page and the pyramids are the real ones; only the recording is put in the place of a short one, since no
// question about panning needs an analysis of 10 million rows.
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { serve } from "@hono/node-server";
import { chromium } from "playwright-core";
import { chromiumArgs, findChromium } from "../scripts/chromium.mjs";
import { at } from "../scripts/paths.mjs";

const ROWS = 10_000_000;
const RATE_HZ = 1000;
const SIGNALS = /** @type {const} */ (["rpm", "map", "maf", "tp1"]);
const LEAST_FPS = 50;
const SECONDS = 4;
const build = process.argv[2] ?? at("dist");

/** @param {string} file @returns {Promise<any>} */
const built = (file) => import(pathToFileURL(path.join(build, `${file}.js`)).href);

/** A drive of many hours: slow swings, quick noise, spikes. @param {string} file */
function longRecording(file) {
  const timeS = Float64Array.from({ length: ROWS }, (_, i) => i / RATE_HZ);
  /** @type {Record<string, { signal: string, source: string, confidence: number, values: Float64Array }>} */
  const channels = {};
  SIGNALS.forEach((signal, k) => {
    let seed = 77 + k;
    const values = new Float64Array(ROWS);
    for (let i = 0; i < ROWS; i++) {
      seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648;
      values[i] = 50 + 30 * Math.sin(i / (9000 + 700 * k)) + 12 * Math.sin(i / 310) + (6 * seed) / 2_147_483_648;
    }
    channels[signal] = { signal, source: signal, confidence: 1, values };
  });
  return { file, timeS, channels, others: [], preamble: {}, repairs: [] };
}

/** Pans by a few pixels each frame, to and fro. @returns {Promise<number[]>} times of the frames [ms] */
function panInPage() {
  const lanes = /** @type {HTMLCanvasElement} */ (document.querySelector("canvas.lanes"));
  return new Promise((resolve) => {
    /** @type {number[]} */
    const times = [];
    /** @param {number} nowMs */
    const frame = (nowMs) => {
      times.push(nowMs);
      const way = Math.floor(times.length / 90) % 2 === 0 ? 14 : -14;
      lanes.dispatchEvent(new WheelEvent("wheel", { deltaY: way, shiftKey: true, bubbles: true, cancelable: true }));
      if (nowMs - /** @type {number} */ (times[0]) < 4000) requestAnimationFrame(frame);
      else resolve(times);
    };
    requestAnimationFrame(frame);
  });
}

const scratch = fs.mkdtempSync(path.join(os.tmpdir(), "fettle-pan-"));
const { addFiles, createBook, createJob } = await built("book/index");
const { filesOf } = await built("cli/load-packet");
const { createApp } = await built("server/app");
const { answerAsk, makeDrawer } = await built("server/drawer");
const executablePath = findChromium();
if (executablePath === undefined) throw new Error("no Chromium, Chrome or Edge was found: see npm test");
const browser = await chromium.launch({ executablePath, args: chromiumArgs() });
let port = 0;
/** @type {ReturnType<typeof serve> | undefined} */
let server;
try {
  const by = { by: "bench", now: () => new Date().toISOString() };
  const book = createBook(path.join(scratch, "book"), by);
  const packets = at("examples", "packets");
  const slug = createJob(book, { title: "Long drive" });
  addFiles(book, slug, filesOf(path.join(packets, fs.readdirSync(packets).sort()[0] ?? "")));
  const drawer = makeDrawer({ bookFolder: book.folder, by: "bench" });
  /** @param {string} job @param {object} ask */
  const asked = (job, ask) => answerAsk(drawer, { id: 1, slug: job, ask }, () => {});
  await asked(slug, { what: "analyse" });
  const { recordings } = drawer.open.get(slug).loaded.packet;
  recordings[0] = longRecording(recordings[0].file);

  const desk = { ask: asked, cancel: async () => {}, close: async () => {} };
  const app = createApp({ book, desk, token: "bench", port: () => port, webFolder: path.join(build, "web") });
  server = serve({ fetch: app.fetch, hostname: "127.0.0.1", port: 0 });
  await new Promise((resolve) => server?.once("listening", () => resolve(undefined)));
  port = /** @type {import("node:net").AddressInfo} */ (server.address()).port;

  const page = await browser.newPage({ viewport: { width: 1920, height: 1080 } });
  await page.addInitScript(`localStorage.setItem("signals drawn", ${JSON.stringify(SIGNALS.join(","))})`);
  await page.goto(`http://127.0.0.1:${port}/?token=bench`);
  await page.goto(`http://127.0.0.1:${port}/#/job/${slug}/recordings`);
  await page.waitForSelector('[data-idle="yes"] canvas.lanes', { timeout: 120_000 });
  await page.waitForTimeout(2500); // the pyramids are made when first asked for
  let asks = 0;
  page.on("request", (request) => {
    if (request.url().includes("/window?")) asks++;
  });
  let worst = Number.POSITIVE_INFINITY;
  for (const [presses, name] of /** @type {const} */ ([
    [2, "a third of it in sight"],
    [3, "a thirteenth"],
    [8, "a few seconds of a thousand"],
  ])) {
    for (let i = 0; i < presses; i++) await page.keyboard.press("+");
    await page.waitForTimeout(400);
    asks = 0;
    const times = await page.evaluate(panInPage);
    const gaps = times.slice(1).map((ms, i) => ms - /** @type {number} */ (times[i]));
    const fps = (1000 * gaps.length) / gaps.reduce((a, b) => a + b, 0);
    const slow = [...gaps].sort((a, b) => a - b)[Math.floor(0.95 * gaps.length)] ?? 0;
    worst = Math.min(worst, fps);
    process.stdout.write(
      `pan, ${ROWS / 1e6} M rows × ${SIGNALS.length} signals, ${name}: ${fps.toFixed(1)} frames/s, 95 % within ${slow.toFixed(1)} ms, ${(asks / SECONDS).toFixed(0)} windows/s\n`,
    );
  }
  process.stdout.write(`target ≥ ${LEAST_FPS} frames/s: ${worst >= LEAST_FPS ? "held" : "MISSED"}\n`);
  process.exitCode = worst >= LEAST_FPS ? 0 : 1;
} finally {
  await browser.close();
  server?.close();
  if (server !== undefined && "closeAllConnections" in server) server.closeAllConnections();
  fs.rmSync(scratch, { recursive: true, force: true });
}
