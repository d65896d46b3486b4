// The commands of package.json: installs and builds what is missing, then does the work.
// Node built-ins only until `ensure` has returned. No pre-scripts, because `ignore-scripts=true` would skip them.
import { spawn, spawnSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { build } from "./build.mjs";
import { ensureChromium } from "./chromium.mjs";
import { ensure } from "./ensure.mjs";
import { at, root, SetupProblem, say } from "./paths.mjs";

/**
 * Runs a Node program of the checkout and returns its exit status.
 * @param {string} program path inside the checkout
 * @param {string[]} args
 * @param {NodeJS.ProcessEnv} [env]
 */
function node(program, args, env = {}) {
  const options = { cwd: root, env: { ...process.env, ...env }, stdio: /** @type {const} */ ("inherit") };
  const { status, error } = spawnSync(process.execPath, [at(program), ...args], options);
  if (error) throw new SetupProblem(`${program} could not be started: ${error.message}`);
  return status ?? 1;
}

const TSC = "node_modules/typescript/bin/tsc";
const TYPE_PROJECTS = ["tsconfig.json", "tsconfig.core.json", "tsconfig.tests.json", "tsconfig.web.json"];

/** Every check is run even when an earlier one failed, so that one round shows all there is to put right. */
async function lint() {
  await build();
  const steps = [
    { name: "biome", run: () => node("node_modules/@biomejs/biome/bin/biome", ["check", "--error-on-warnings"]) },
    ...TYPE_PROJECTS.filter((project) => fs.existsSync(at(project))).map((project) => ({
      name: `types (${project})`,
      run: () => node(TSC, ["-p", project, "--noEmit"]),
    })),
    { name: "rooms", run: () => node("tools/rooms.mjs", []) },
    { name: "generated files", run: () => node("tools/generate.mjs", ["--check"]) },
    { name: "unused code", run: () => node("node_modules/knip/bin/knip.js", ["--no-progress"]) },
  ];
  const failed = steps.filter(({ name, run }) => {
    const isGood = run() === 0;
    say(`lint: ${name}: ${isGood ? "good" : "FAILED"}`);
    return !isGood;
  });
  if (failed.length > 0) say(`to put right: ${failed.map((step) => step.name).join(", ")}`);
  return failed.length === 0 ? 0 : 1;
}

/** @param {string[]} args */
async function test(args) {
  const chromium = ensureChromium();
  await build();
  return node("node_modules/vitest/vitest.mjs", ["run", ...args], { CHROMIUM_PATH: chromium });
}

/** Shows a page in the person's browser where there is a desktop to show it on.
 * @param {string} page path or address
 */
function openOnDesktop(page) {
  if (process.env.CI || !process.stdout.isTTY) return;
  const isWithoutScreen = process.platform === "linux" && !process.env.DISPLAY && !process.env.WAYLAND_DISPLAY;
  if (isWithoutScreen) return;
  /** @type {[string, string[]]} */
  const [program, args] =
    process.platform === "darwin"
      ? ["open", [page]]
      : process.platform === "win32"
        ? ["cmd", ["/c", "start", "", page]]
        : ["xdg-open", [page]];
  spawnSync(program, args, { stdio: "ignore" }); // no opener: the path has been printed anyway
}

/** The first bundled packet in order of name. */
function examplePacket() {
  const folder = at("examples", "packets");
  const names = fs.existsSync(folder) ? fs.readdirSync(folder).sort() : [];
  const name = names.find((entry) => fs.existsSync(path.join(folder, entry, "intake.json")));
  if (name === undefined) throw new SetupProblem("examples/packets holds no packet: the checkout is incomplete");
  return path.join(folder, name);
}

/** Does the main job on a packet and says where the answer lies.
 * @param {string} packet
 */
function workThrough(packet) {
  const out = at("out", path.basename(packet));
  const status = node("bin/fettle", ["run", packet, "--out", out]);
  const report = path.join(out, "report.html");
  if (status === 0)
    process.stdout.write(`\nPacket   ${packet}\nReport   ${report}\nResult   ${path.join(out, "result.json")}\n\n`);
  return { status, report };
}

/** Serves the bench until it is stopped, and opens it as soon as it says its address. */
function openBench() {
  const child = spawn(process.execPath, [at("bin", "fettle"), "bench"], { stdio: ["inherit", "pipe", "inherit"] });
  let said = "";
  child.stdout.on("data", (/** @type {Buffer} */ bytes) => {
    process.stdout.write(bytes);
    const isOpen = /http:/.test(said);
    said += bytes.toString();
    const address = /http:\/\/\S+(?=\s)/.exec(said)?.[0];
    if (!isOpen && address !== undefined) openOnDesktop(address);
  });
  for (const signal of /** @type {const} */ (["SIGINT", "SIGTERM"])) process.on(signal, () => child.kill(signal));
  return new Promise((resolve) => child.on("exit", (status, signal) => resolve(status ?? (signal ? 0 : 1))));
}

/**
 * With the path of a packet: does the main job on it and shows the report. Without: works through the bundled example
 * once, so that there is a report to read, and opens the bench: on the person's own book, or on the demo where there is none yet.
 * @param {string[]} args
 */
async function start([given]) {
  await build();
  if (given !== undefined) {
    // A path is meant as seen from where the person typed it; npm moves to the checkout.
    const { status, report } = workThrough(path.resolve(process.env.INIT_CWD ?? root, given));
    if (status === 0) openOnDesktop(report);
    return status;
  }
  const { status } = workThrough(examplePacket());
  if (status !== 0) return status;
  process.stdout.write("Your own packet:  npm start -- PATH   or   bin/fettle run PATH --out DIR\n");
  process.stdout.write("The demo book:    bin/fettle bench --demo\n\n");
  return await openBench();
}

/** @param {string} tool
 * @param {string[]} args
 */
async function runTool(tool, args) {
  await build();
  return node(`tools/${tool}.mjs`, args);
}

/** @type {Record<string, (args: string[]) => Promise<number>>} */
const COMMANDS = {
  start,
  test,
  lint,
  build: async () => {
    say((await build()) ? "built dist" : "dist is up to date");
    return 0;
  },
  // Builds by itself, after it has renewed the registries that the build needs.
  generate: async (args) => node("tools/generate.mjs", args),
  new: (args) => runTool("new", args),
  validate: (args) => runTool("validate", args),
  compare: (args) => runTool("compare", args),
  bench: async (args) => {
    const statuses = [];
    for (const tool of ["bench", "bench-pan", "bench-open"]) statuses.push(await runTool(tool, args));
    return Math.max(...statuses);
  },
};

const [name = "", ...args] = process.argv.slice(2);
const command = COMMANDS[name];
if (command === undefined) {
  say(`unknown command "${name}": one of ${Object.keys(COMMANDS).join(", ")}`);
  process.exit(2);
}
try {
  await ensure();
  process.exitCode = await command(args);
} catch (error) {
  if (!(error instanceof SetupProblem)) throw error;
  say(error.message);
  process.exitCode = 1;
}
