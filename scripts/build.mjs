// Builds dist from src when the sources have changed. Node built-ins and the installed compiler only.
//
// Two questions are kept apart: `isProbablyFresh` looks at times of files; only when it says no are the contents
// hashed, and only when those differ is anything built.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import fs from "node:fs";
import path from "node:path";
import { isProbablyFresh, otherInputs, STAMP, walkSources } from "./freshness.mjs";
import { withLock } from "./lock.mjs";
import { at, root, SetupProblem } from "./paths.mjs";

const DIST = at("dist");
/** Built here and renamed when whole, so that a failed build leaves the old one. */
const PART = at(".dist-part");

function sourceHash() {
  const hash = createHash("sha256");
  /** @param {string} file */
  const add = (file) => hash.update(path.relative(root, file).replaceAll("\\", "/")).update(fs.readFileSync(file));
  walkSources(at("src"), (file, isFolder) => {
    if (!isFolder) add(file);
  });
  otherInputs().forEach(add);
  return hash.digest("hex");
}

/** @param {string} hash */
function isBuiltFor(hash) {
  try {
    if (fs.readFileSync(STAMP, "utf8") !== hash) return false;
  } catch {
    return false;
  }
  try {
    const now = new Date();
    fs.utimesSync(STAMP, now, now); // contents are the same: the next start need not hash again
  } catch {
    // A read-only checkout: we hash again next time.
  }
  return true;
}

/** @param {string} tool path inside node_modules
 * @param {string[]} args
 * @param {NodeJS.ProcessEnv} [env]
 */
function runTool(tool, args, env = {}) {
  const program = at("node_modules", tool);
  if (!fs.existsSync(program))
    throw new SetupProblem("the program is not built, and the compiler is not installed: run npm ci");
  // Tools speak on stderr here: stdout belongs to the answer of the command that caused the build.
  /** @type {import("node:child_process").SpawnSyncOptions} */
  const options = { cwd: root, env: { ...process.env, ...env }, stdio: ["ignore", 2, 2] };
  if (spawnSync(process.execPath, [program, ...args], options).status !== 0)
    throw new SetupProblem("building failed: see the messages above");
}

/** Files that the compiler does not carry over (styles, fonts, templates) but the program reads beside itself. */
function copyAssets() {
  walkSources(at("src"), (file, isFolder) => {
    const inside = path.relative(at("src"), file);
    if (isFolder || /\.tsx?$/.test(file) || inside.split(path.sep)[0] === "web") return;
    fs.mkdirSync(path.dirname(path.join(PART, inside)), { recursive: true });
    fs.copyFileSync(file, path.join(PART, inside));
  });
}

/** @param {string} hash */
function buildFor(hash) {
  fs.rmSync(PART, { recursive: true, force: true });
  try {
    // Types are lint's business: here they would only make the first start wait for what is checked anyway.
    runTool("typescript/bin/tsc", ["-p", "tsconfig.json", "--outDir", PART, "--noCheck"]);
    copyAssets();
    if (fs.existsSync(at("src", "web", "index.html")))
      runTool("vite/bin/vite.js", ["build", "--logLevel", "error", "--outDir", path.join(PART, "web")], {
        NODE_ENV: "production",
      });
    fs.writeFileSync(path.join(PART, path.basename(STAMP)), hash);
    fs.rmSync(DIST, { recursive: true, force: true });
    fs.renameSync(PART, DIST);
  } finally {
    fs.rmSync(PART, { recursive: true, force: true });
  }
}

/**
 * After this, dist is what src says.
 * @returns {Promise<boolean>} whether something had to be built
 * @throws {SetupProblem} when a tool is missing or reports errors; the build before it stays
 */
export async function build() {
  if (isProbablyFresh()) return false;
  if (isBuiltFor(sourceHash())) return false;
  let built = false;
  await withLock(() => {
    const hash = sourceHash();
    if (isBuiltFor(hash)) return; // another command did it while we waited
    buildFor(hash);
    built = true;
  });
  return built;
}
