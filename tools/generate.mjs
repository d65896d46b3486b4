// Renews everything that is derived from the sources: the registries, the reference pages, the schema of the result.
// Usage: npm run generate              writes what changed
//        npm run generate -- --check   writes nothing; status 1 when something is stale
import { spawnSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "../scripts/build.mjs";
import { SetupProblem, say } from "../scripts/paths.mjs";
import { built } from "./built.mjs";
import { MARK } from "./markdown.mjs";
import {
  checkPages,
  commandPage,
  correctionPage,
  faultPages,
  momentPage,
  signalPage,
  standardPage,
  unitPage,
  workshopTestPage,
} from "./pages.mjs";
import { registries } from "./registries.mjs";
import { readSources } from "./rooms.mjs";

/** @typedef {{ path: string, content: string }} Output  path below the checkout */

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const at = (/** @type {string} */ file) => path.join(ROOT, file);

/** Text as the formatter would leave it. @param {Output} output
 * @returns {Output}
 */
function formatted({ path: file, content }) {
  const biome = at("node_modules/@biomejs/biome/bin/biome");
  const args = [biome, "check", "--write", `--stdin-file-path=${file}`];
  const { status, stdout, stderr } = spawnSync(process.execPath, args, { cwd: ROOT, input: content, encoding: "utf8" });
  if (status !== 0) throw new Error(`${file} could not be formatted: ${stderr}`);
  return { path: file, content: stdout };
}

/** Help of a command, as it stands on a terminal of 80 columns. @param {any} command  of commander */
function helpOf(command) {
  let help = "";
  command.configureOutput({
    getOutHelpWidth: () => 80,
    getOutHasColors: () => false,
    writeOut: (/** @type {string} */ text) => {
      help += text;
    },
  });
  command.outputHelp();
  return help;
}

/** The program and all commands below it, in the order of its help.
 * @param {any} command  of commander
 * @param {string[]} [above]
 * @returns {{ name: string, help: string }[]}
 */
function commands(command, above = []) {
  const names = [...above, command.name()];
  return [
    { name: names.join(" "), help: helpOf(command) },
    ...command.commands.flatMap((/** @type {any} */ below) => commands(below, names)),
  ];
}

/** @returns {Promise<Output[]>} */
async function pages() {
  const { CHECKS } = await built("core/checks/registry");
  const { CORRECTIONS } = await built("core/corrections/registry");
  const { FAULT_STORIES } = await built("core/faults/registry");
  const { WORKSHOP_TESTS } = await built("core/faults/workshop-tests/index");
  const { MOMENTS } = await built("core/moments/index");
  const { POWER_STANDARDS } = await built("core/pulls/index");
  const { SIGNALS, knownUnits } = await built("core/units/index");
  const { CONCEPTS } = await built("core/units/spellings");
  const { buildProgram } = await built("cli/program");
  return [
    ...checkPages(CHECKS),
    ...correctionPage(CORRECTIONS),
    ...faultPages(FAULT_STORIES, WORKSHOP_TESTS),
    ...workshopTestPage(WORKSHOP_TESTS),
    ...momentPage(MOMENTS),
    ...standardPage(POWER_STANDARDS),
    ...signalPage(SIGNALS, CONCEPTS),
    ...unitPage(knownUnits()),
    ...commandPage(commands(buildProgram())),
  ];
}

/** @returns {Promise<Output[]>} */
async function schemas() {
  const { resultJsonSchema } = await built("api/index");
  return [{ path: "schema/result.schema.json", content: JSON.stringify(resultJsonSchema()) }].map(formatted);
}

/** @param {string} file */
function readIfThere(file) {
  return fs.existsSync(at(file)) ? fs.readFileSync(at(file), "utf8").replaceAll("\r\n", "\n") : undefined;
}

/** Outputs that differ from what lies there. @param {Output[]} outputs */
function stale(outputs) {
  return outputs.filter(({ path: file, content }) => readIfThere(file) !== content);
}

/** Generated pages in docs of members that are no more. @param {Output[]} outputs */
function orphans(outputs) {
  const kept = new Set(outputs.map((output) => output.path));
  const names = /** @type {string[]} */ (fs.readdirSync(at("docs"), { recursive: true, encoding: "utf8" }));
  return names
    .map((name) => `docs/${name.replaceAll(path.sep, "/")}`)
    .filter((file) => file.endsWith(".md") && !kept.has(file) && readIfThere(file)?.startsWith(MARK));
}

/** @param {Output[]} outputs */
function write(outputs) {
  for (const { path: file, content } of outputs) {
    fs.mkdirSync(path.dirname(at(file)), { recursive: true });
    fs.writeFileSync(at(file), content);
    process.stdout.write(`wrote ${file}\n`);
  }
}

async function main() {
  const isCheck = process.argv.includes("--check");
  const files = readSources(at("src"));
  const staleRegistries = stale(registries(files).map(formatted));
  if (!isCheck) write(staleRegistries);
  // A check changes nothing, not even the build: whoever asks has built before.
  if (!isCheck) await build();
  else if (!fs.existsSync(at("dist"))) throw new SetupProblem("nothing is built yet: npm run build");
  const outputs = [...(await pages()), ...(await schemas())];
  const old = orphans(outputs);
  const differing = stale(outputs);
  if (isCheck) {
    const wrong = [...staleRegistries, ...differing].map((output) => output.path).concat(old);
    for (const file of wrong) process.stderr.write(`stale: ${file}\n`);
    if (wrong.length > 0) process.stderr.write("run: npm run generate\n");
    return wrong.length === 0 ? 0 : 1;
  }
  write(differing);
  for (const file of old) {
    fs.rmSync(at(file));
    process.stdout.write(`removed ${file}\n`);
  }
  process.stdout.write(`${outputs.length} generated files are fresh\n`);
  return 0;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  try {
    process.exitCode = await main();
  } catch (error) {
    if (!(error instanceof SetupProblem)) throw error;
    say(error.message);
    process.exitCode = 1;
  }
}
