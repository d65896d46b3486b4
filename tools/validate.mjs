// Judges a population of virtual vehicles and writes docs/validation/diagnosis.md.
// Usage: npm run validate -- [--vehicles 1000] [--first 500001] [--workers 2] [--keep FILE]
// --keep: judgements are appended to FILE as they come, and those already in it are not made again.
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import { built } from "./built.mjs";
import { diagnosisPage, keyFigures, planned } from "./validate-diagnosis.mjs";

/** @typedef {import("./validate-diagnosis.mjs").Judged} Judged */
/** @typedef {import("./validate-diagnosis.mjs").Planned} Planned */

const ROOT = fileURLToPath(new URL("..", import.meta.url));

/** Makes a packet and diagnoses it. @param {Planned} plan
 * @returns {Promise<Judged>}
 */
async function judged({ seed, faults }) {
  const { makePacket } = await built("core/virtual-engine/index");
  const { observe } = await built("core/residuals/index");
  const { diagnose } = await built("core/faults/index");
  const { packet, truth } = makePacket(seed, { faults });
  const { asReceived: calibration, reference, intake, recordings } = packet;
  const startMs = performance.now();
  const observations = recordings.map((/** @type {unknown} */ recording) => observe(recording, calibration, intake));
  const { suspects } = diagnose({ observations, calibration, reference, intake });
  return {
    seed,
    truth: truth.faults.map((/** @type {{ id: string, severity: number }} */ { id, severity }) => ({ id, severity })),
    suspects: suspects.map((/** @type {{ fault: string, probability: number }} */ { fault, probability }) => ({
      fault,
      probability,
    })),
    family: truth.vehicle.label,
    camChanged: intake.engine.camChanged === true,
    boosted: intake.engine.boosted === true,
    highAltitude: (intake.ambient?.pressureKpa ?? 101) < 88,
    wideband: intake.sensors?.widebandFitted === true,
    meter: intake.sensors?.airMeterFitted === true,
    milliseconds: performance.now() - startMs,
  };
}

/** Value of an option, or what it is when left out. @param {string} name @param {string} otherwise */
function option(name, otherwise) {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? otherwise : (process.argv[at + 1] ?? otherwise);
}

/** Judges on several threads, handing each the next vehicle when it is done. @param {readonly Planned[]} plans @param {number} workers @param {(one: Judged) => void} onJudged */
function judgeAll(plans, workers, onJudged) {
  const waiting = [...plans];
  const run = () =>
    new Promise((resolve, reject) => {
      const worker = new Worker(fileURLToPath(import.meta.url), { workerData: "judge" });
      const next = () => {
        const plan = waiting.shift();
        if (plan === undefined) worker.terminate().then(resolve, reject);
        else worker.postMessage(plan);
      };
      worker.on("message", (/** @type {Judged} */ one) => {
        onJudged(one);
        next();
      });
      worker.on("error", reject);
      next();
    });
  return Promise.all(Array.from({ length: Math.min(workers, plans.length) }, run));
}

async function main() {
  const first = Number(option("first", "500001"));
  const plans = planned(first, Number(option("vehicles", "1000")));
  const keep = option("keep", "");
  const wanted = new Set(plans.map(({ seed }) => seed));
  /** @type {Judged[]} */
  const done = [];
  if (keep !== "" && fs.existsSync(keep))
    for (const line of fs.readFileSync(keep, "utf8").split("\n")) if (line !== "") done.push(JSON.parse(line));
  const all = done.filter(({ seed }) => wanted.has(seed));
  const have = new Set(all.map(({ seed }) => seed));
  const rest = plans.filter(({ seed }) => !have.has(seed));
  await judgeAll(rest, Number(option("workers", String(Math.min(4, os.availableParallelism())))), (one) => {
    all.push(one);
    if (keep !== "") fs.appendFileSync(keep, `${JSON.stringify(one)}\n`);
    if (process.stderr.isTTY) process.stderr.write(`\r${all.length} of ${plans.length} vehicles judged`);
  });
  all.sort((a, b) => a.seed - b.seed);
  const { FAULTS } = await built("core/result/index");
  const file = path.join(ROOT, "docs/validation/diagnosis.md");
  fs.mkdirSync(path.dirname(file), { recursive: true });
  fs.writeFileSync(file, diagnosisPage(all, { first, ids: FAULTS }));
  for (const [what, measured, target] of keyFigures(all)) console.log(`${what}: ${measured}; wanted ${target}`);
  console.log("wrote docs/validation/diagnosis.md");
}

if (isMainThread) await main();
else if (workerData === "judge") parentPort?.on("message", async (plan) => parentPort?.postMessage(await judged(plan)));
