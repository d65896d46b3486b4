// Time and memory of the main job, of import and of the fit, with what they should be.
// Usage: npm run bench
// Never part of the tests: the figures depend on the machine and on what else it does. The first row says how fast the
// machine was in this very run; compare two versions by the ratios in the last column, measured in one run each.
import { spawnSync } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { built } from "./built.mjs";
import { longDrive } from "./long-drive.mjs";

/** @typedef {import("../src/core/recordings/index.ts").Recording} Recording */

const { proposeCorrections } = await built("core/corrections/index");
const { observe } = await built("core/residuals/index");
const { readPacket, readRecording } = await built("formats/index");

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const SEED = 20;
const MINUTES = 20;
const RATE_HZ = 20;
const RUNS = 3;
const IMPORT_MB = 60;

/** @typedef {{ what: string, value: string, target?: string, seconds?: number }} Row */

/** Shortest of several runs [s]: what the work costs when nothing else disturbs. @param {() => void} work */
function bestSeconds(work, runs = RUNS) {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < runs; i++) {
    const startMs = performance.now();
    work();
    best = Math.min(best, (performance.now() - startMs) / 1000);
  }
  return best;
}

/** A fixed piece of arithmetic, to compare machines with. */
function machineSeconds() {
  const values = new Float64Array(1 << 20);
  return bestSeconds(() => {
    for (let round = 0; round < 20; round++)
      for (let i = 0; i < values.length; i++) values[i] = Math.sqrt((values[i] ?? 0) + i) * 1.0000001;
  });
}

/** Wall time [s] and peak resident memory [MB] of the whole program on a packet.
 * @param {string} packet @param {string} scratch
 */
function runProgram(packet, scratch) {
  const memoryFile = path.join(scratch, "memory");
  const hook = `process.on("exit", () => require("fs").writeFileSync(${JSON.stringify(memoryFile)}, String(process.resourceUsage().maxRSS)))`;
  const hookFile = path.join(scratch, "hook.cjs");
  fs.writeFileSync(hookFile, hook);
  let memoryMb = 0;
  const seconds = bestSeconds(() => {
    const args = [
      "--require",
      hookFile,
      path.join(ROOT, "bin/fettle"),
      "run",
      packet,
      "--out",
      path.join(scratch, "out"),
    ];
    const { status, stderr } = spawnSync(process.execPath, args, { encoding: "utf8" });
    if (status !== 0) throw new Error(`fettle run ${packet} ended with status ${status}: ${stderr}`);
    memoryMb = Math.max(memoryMb, Number(fs.readFileSync(memoryFile, "utf8")) / 1024);
  });
  return { seconds, memoryMb };
}

/** @param {string} name @param {string} packet @param {string} scratch @param {boolean} hasTarget
 * @returns {Row[]}
 */
function programRows(name, packet, scratch, hasTarget) {
  const { seconds, memoryMb } = runProgram(packet, scratch);
  return [
    { what: `fettle run, ${name}`, value: `${seconds.toFixed(2)} s`, target: hasTarget ? "< 3 s" : "", seconds },
    { what: "  peak memory", value: `${memoryMb.toFixed(0)} MB`, target: hasTarget ? "< 600 MB" : "" },
  ];
}

/** @param {string} text one recording
 * @returns {Row}
 */
function importRow(text) {
  const headEnd = text.indexOf("\n") + 1;
  const head = text.slice(0, headEnd);
  const rows = text.slice(headEnd).trimEnd().split("\n");
  const parts = [head];
  let megabytes = 0;
  for (let i = 0; megabytes < IMPORT_MB; i++) {
    const line = rows[i % rows.length] ?? "";
    const full = `${(i / RATE_HZ).toFixed(3)}${line.slice(line.indexOf(","))}\n`;
    megabytes += full.length / 1e6;
    parts.push(full);
  }
  const bytes = new TextEncoder().encode(parts.join(""));
  const seconds = bestSeconds(() => readRecording("recordings/large.csv", bytes));
  return {
    what: `import, CSV of ${(bytes.length / 1e6).toFixed(0)} MB`,
    value: `${(bytes.length / 1e6 / seconds).toFixed(0)} MB/s`,
    seconds,
  };
}

/** @param {string} folder
 * @returns {Row[]}
 */
function fitRows(folder) {
  const names = /** @type {string[]} */ (fs.readdirSync(folder, { recursive: true, encoding: "utf8" }));
  const files = names
    .filter((name) => fs.statSync(path.join(folder, name)).isFile())
    .map((name) => ({ path: name.replaceAll(path.sep, "/"), bytes: fs.readFileSync(path.join(folder, name)) }));
  const packet = readPacket(files);
  const { intake, asReceived: calibration, reference } = packet;
  if (calibration === undefined) throw new Error("the packet made for the benchmark has no calibration");
  /** @type {import("../src/core/residuals/index.ts").Observations[]} */
  let observations = [];
  const observing = bestSeconds(() => {
    observations = packet.recordings.map((/** @type {Recording} */ recording) =>
      observe(recording, calibration, intake),
    );
  });
  const samples = observations.reduce((sum, each) => sum + each.n, 0);
  const input = { calibration, reference, intake, observations, suspects: [], findings: [] };
  const fitting = bestSeconds(() => proposeCorrections(input));
  const perSecond = (/** @type {number} */ seconds) =>
    `${Math.round(samples / seconds).toLocaleString("en")} samples/s`;
  return [
    { what: `residuals, ${samples} samples`, value: perSecond(observing), seconds: observing },
    { what: `fit of all tables, ${samples} samples`, value: perSecond(fitting), seconds: fitting },
  ];
}

/** In a process of its own: what it needs of memory is told from nothing else's.
 * @returns {Row[]}
 */
function tableRows() {
  const { status, stdout, stderr } = spawnSync(process.execPath, [path.join(ROOT, "tools", "bench-tables.mjs")], {
    encoding: "utf8",
  });
  if (status !== 0) throw new Error(`bench-tables.mjs ended with status ${status}: ${stderr}`);
  return JSON.parse(stdout);
}

/** @param {Row[]} rows @param {number} unitS */
function print(rows, unitS) {
  const cells = rows.map(({ what, value, target = "", seconds }) => [
    what,
    value,
    target,
    seconds === undefined ? "" : (seconds / unitS).toFixed(1),
  ]);
  const all = [["", "measured", "should be", "in units of the first row"], ...cells];
  const widths = [0, 1, 2, 3].map((k) => Math.max(...all.map((row) => row[k]?.length ?? 0)));
  for (const row of all)
    process.stdout.write(
      `${row.map((cell, k) => (k === 0 ? cell.padEnd(widths[k] ?? 0) : cell.padStart(widths[k] ?? 0))).join("  ")}\n`,
    );
}

/** The packets of the repository, by name. */
function bundledPackets() {
  const folder = path.join(ROOT, "examples", "packets");
  const names = fs.existsSync(folder) ? fs.readdirSync(folder).sort() : [];
  return names
    .map((name) => path.join(folder, name))
    .filter((packet) => fs.existsSync(path.join(packet, "intake.json")));
}

const scratch = fs.mkdtempSync(path.join(os.tmpdir(), "fettle-bench-"));
try {
  const long = path.join(scratch, "long-drive");
  const files = longDrive({ seed: SEED, minutes: MINUTES, rateHz: RATE_HZ });
  for (const { path: file, text } of files) {
    fs.mkdirSync(path.dirname(path.join(long, file)), { recursive: true });
    fs.writeFileSync(path.join(long, file), text);
  }
  const drive = files.find((file) => file.path.startsWith("recordings/"));
  if (drive === undefined) throw new Error("the packet made for the benchmark has no recording");
  const unitS = machineSeconds();
  const machine = `${os.cpus().length} × ${os.cpus()[0]?.model ?? "cpu"}, Node ${process.version}`;
  const [example] = bundledPackets();
  print(
    [
      { what: machine, value: `${unitS.toFixed(3)} s`, seconds: unitS },
      ...(example === undefined ? [] : programRows(path.basename(example), example, scratch, false)),
      ...programRows(`${drive.text.split("\n").length} rows of ${RATE_HZ} Hz`, long, scratch, true),
      importRow(drive.text),
      ...fitRows(long),
      ...tableRows(),
    ],
    unitS,
  );
} finally {
  fs.rmSync(scratch, { recursive: true, force: true });
}
