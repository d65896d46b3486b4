// Judges populations of virtual vehicles and writes the pages of docs/validation.
// Usage: npm run validate -- [--only diagnosis|corrections|comeback] [--vehicles N] [--first SEED] [--workers 2] [--keep FILE]
// --only: one of the three; all when left out. --vehicles: 1000 for the diagnosis, 200 for the corrections, 150 for the comeback when left out.
// --keep: judgements are appended to FILE as they come, and those already in it are not made again; only with --only.
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import { built } from "./built.mjs";
import { scoredVehicle } from "./score-corrections.mjs";
import { comebackPage, keyFiguresOfComebacks, plannedComebacks, returned } from "./validate-comeback.mjs";
import { correctionsPage, keyFiguresOfCorrections, plannedCorrections } from "./validate-corrections.mjs";
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
  };
}

/** Value of an option, or what it is when left out. @param {string} name @param {string} otherwise */
function option(name, otherwise) {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? otherwise : (process.argv[at + 1] ?? otherwise);
}

/** Judges on several threads, handing each the next vehicle when it is done.
 * @template {{ seed: number }} Plan
 * @template {{ seed: number }} One
 * @param {string} judge @param {readonly Plan[]} plans @param {number} workers @param {(one: One) => void} onJudged
 */
function judgeAll(judge, plans, workers, onJudged) {
  const waiting = [...plans];
  const run = () =>
    new Promise((resolve, reject) => {
      const worker = new Worker(fileURLToPath(import.meta.url), { workerData: judge });
      const next = () => {
        const plan = waiting.shift();
        if (plan === undefined) worker.terminate().then(resolve, reject);
        else worker.postMessage(plan);
      };
      worker.on("message", (/** @type {One} */ one) => {
        onJudged(one);
        next();
      });
      worker.on("error", reject);
      next();
    });
  return Promise.all(Array.from({ length: Math.min(workers, plans.length) }, run));
}

/** All judgements of a plan, in order of seed; those kept from an earlier run are not made again.
 * @template {{ seed: number }} One
 * @param {string} judge @param {readonly { seed: number }[]} plans @param {string} keep
 * @returns {Promise<One[]>}
 */
async function judgements(judge, plans, keep) {
  const wanted = new Set(plans.map(({ seed }) => seed));
  /** @type {One[]} */
  const done = [];
  if (keep !== "" && fs.existsSync(keep))
    for (const line of fs.readFileSync(keep, "utf8").split("\n")) if (line !== "") done.push(JSON.parse(line));
  const all = done.filter(({ seed }) => wanted.has(seed));
  const have = new Set(all.map(({ seed }) => seed));
  const rest = plans.filter(({ seed }) => !have.has(seed));
  const workers = Number(option("workers", String(Math.min(4, os.availableParallelism()))));
  await judgeAll(judge, rest, workers, (/** @type {One} */ one) => {
    all.push(one);
    if (keep !== "") fs.appendFileSync(keep, `${JSON.stringify(one)}\n`);
    if (process.stderr.isTTY) process.stderr.write(`\r${all.length} of ${plans.length} vehicles judged`);
  });
  return all.sort((a, b) => a.seed - b.seed);
}

/** @param {string} name @param {string} content @param {readonly (readonly string[])[]} figures */
function write(name, content, figures) {
  const file = path.join(ROOT, "docs/validation", name);
  fs.mkdirSync(path.dirname(file), { recursive: true });
  fs.writeFileSync(file, content);
  for (const [what, measured, target] of figures) console.log(`${what}: ${measured}; wanted ${target}`);
  console.log(`wrote docs/validation/${name}`);
}

async function validateDiagnosis() {
  const first = Number(option("first", "800001"));
  const plans = planned(first, Number(option("vehicles", "1000")));
  /** @type {Judged[]} */
  const all = await judgements("diagnosis", plans, option("keep", ""));
  const { FAULTS } = await built("core/result/index");
  write("diagnosis.md", diagnosisPage(all, { first, ids: FAULTS }), keyFigures(all));
}

async function validateCorrections() {
  const first = Number(option("first", "960001"));
  const plans = plannedCorrections(first, Number(option("vehicles", "200")));
  /** @type {import("./validate-corrections.mjs").Scored[]} */
  const all = await judgements("corrections", plans, option("keep", ""));
  write("corrections.md", correctionsPage(all, { first }), keyFiguresOfCorrections(all));
}

async function validateComeback() {
  const first = Number(option("first", "800001"));
  const plans = plannedComebacks(first, Number(option("vehicles", "150")));
  /** @type {import("./validate-comeback.mjs").Returned[]} */
  const all = await judgements("comeback", plans, option("keep", ""));
  const { FAULTS } = await built("core/result/index");
  write("comeback.md", comebackPage(all, { first, ids: FAULTS }), keyFiguresOfComebacks(all));
}

/** @type {Readonly<Record<string, () => Promise<void>>>} */
const VALIDATIONS = { diagnosis: validateDiagnosis, corrections: validateCorrections, comeback: validateComeback };

/** @type {Readonly<Record<string, (plan: any) => Promise<unknown>>>} */
const JUDGES = { diagnosis: judged, corrections: scoredVehicle, comeback: returned };

async function main() {
  const only = option("only", "");
  if (only === "" && option("keep", "") !== "") {
    process.stderr.write("validate: --keep needs --only, because the populations are kept apart\n");
    process.exitCode = 2;
    return;
  }
  for (const [name, validate] of Object.entries(VALIDATIONS)) if (only === "" || only === name) await validate();
}

if (isMainThread) await main();
else parentPort?.on("message", async (plan) => parentPort?.postMessage(await JUDGES[workerData]?.(plan)));
