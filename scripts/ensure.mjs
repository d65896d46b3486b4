// Installs what package-lock.json names when node_modules is absent, stale or broken.
// Node built-ins only: this runs before anything else is there.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import fs from "node:fs";
import { createRequire } from "node:module";
import { withLock } from "./lock.mjs";
import { at, root, SetupProblem, say } from "./paths.mjs";

const STAMP = at("node_modules", ".installed-for");
const ATTEMPTS = 3;

/** Native parts: npm leaves one out without a word when it does not fit the machine or cannot be fetched. */
const NATIVE_PACKAGES = ["@duckdb/node-bindings", "rolldown", "lightningcss"];

/** Settings of the person's npm that would leave out what building and testing need. */
const SETTINGS_IN_THE_WAY =
  /^npm_config_(ignore_scripts|omit|include|only|production|global|package_lock|dry_run|json|loglevel)$/i;

/** @param {string} version as `process.versions.node` gives it */
export function isNodeNewEnough(version) {
  const [major = 0, minor = 0] = version.split(".").map(Number);
  if (major === 20) return minor >= 19;
  if (major === 22) return minor >= 12;
  return major > 22;
}

function libcName() {
  if (process.platform !== "linux") return "";
  const report = /** @type {{ header: { glibcVersionRuntime?: string } }} */ (process.report.getReport());
  return report.header.glibcVersionRuntime ? "glibc" : "musl";
}

/** What the installed packages depend on. Not the Node version: every native part here is Node-API. */
function wanted() {
  const hash = createHash("sha256");
  // Line ends are folded because git may have changed them on checkout.
  for (const file of ["package.json", "package-lock.json"])
    hash.update(fs.readFileSync(at(file), "utf8").replace(/\r\n/g, "\n"));
  return `${hash.digest("hex")} ${process.platform}-${process.arch}-${libcName()}`;
}

function isInstalled() {
  try {
    return fs.readFileSync(STAMP, "utf8") === wanted();
  } catch {
    return false;
  }
}

/**
 * Whether a plain `npm ci` by hand has already put exactly the locked packages here: npm keeps what it installed in
 * node_modules/.package-lock.json. Optional packages of other platforms are rightly absent.
 */
function isInstalledByHand() {
  try {
    const locked = JSON.parse(fs.readFileSync(at("package-lock.json"), "utf8")).packages;
    const present = JSON.parse(fs.readFileSync(at("node_modules", ".package-lock.json"), "utf8")).packages;
    return Object.entries(locked).every(([where, entry]) => {
      if (where === "") return true;
      const here = present[where];
      return here === undefined ? entry.optional === true : here.version === entry.version && fs.existsSync(at(where));
    });
  } catch {
    return false;
  }
}

/** Native packages that do not load, each with the first line of the reason. */
function brokenNativeParts() {
  const require = createRequire(at("package.json"));
  const locked = fs.readFileSync(at("package-lock.json"), "utf8");
  const broken = [];
  for (const name of NATIVE_PACKAGES) {
    if (!locked.includes(`"node_modules/${name}"`)) continue;
    try {
      require(name);
    } catch (error) {
      const { code, message } = /** @type {NodeJS.ErrnoException} */ (error);
      if (code !== "ERR_REQUIRE_ESM") broken.push(`${name}: ${message.split("\n")[0]}`);
    }
  }
  return broken;
}

function npmCi() {
  /** @type {NodeJS.ProcessEnv} */
  const env = { ...process.env, NODE_ENV: "development" };
  for (const name of Object.keys(env)) if (SETTINGS_IN_THE_WAY.test(name)) delete env[name];
  const args = ["ci", "--include=dev", "--include=optional", "--no-audit", "--no-fund"];
  /** @type {import("node:child_process").SpawnSyncOptions} */
  const options = { cwd: root, env, stdio: ["ignore", 2, 2] };
  // Started through `npm run`, npm says where its own program lies. That avoids npm.cmd, which Node refuses to
  // spawn without a shell on Windows.
  const program = process.env.npm_execpath;
  if (program && /\.[cm]?js$/.test(program)) return spawnSync(process.execPath, [program, ...args], options);
  return spawnSync("npm", args, { ...options, shell: process.platform === "win32" });
}

/** @param {number} ms */
function pause(ms) {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

async function install() {
  say(fs.existsSync(at("node_modules")) ? "dependencies changed: installing" : "first start: installing dependencies");
  for (let attempt = 1; ; attempt++) {
    const result = npmCi();
    if (result.status === 0) return;
    if (result.error) throw new SetupProblem(`npm could not be started: ${result.error.message}`);
    if (attempt === ATTEMPTS) throw new SetupProblem(`npm ci failed ${ATTEMPTS} times: see its message above`);
    say(`npm ci failed, trying again (${attempt} of ${ATTEMPTS - 1})`);
    await pause(2000 * attempt);
  }
}

/**
 * After this, node_modules holds what the lock names and its native parts load.
 * @throws {SetupProblem} in words, when Node is too old or installing failed
 */
export async function ensure() {
  if (!isNodeNewEnough(process.versions.node))
    throw new SetupProblem(`Node ${process.version} is too old: install 20.19, 22.12, 24 or newer (nodejs.org)`);
  if (isInstalled()) return;
  await withLock(async () => {
    if (isInstalled()) return; // another command did it while we waited
    if (!isInstalledByHand()) await install();
    const broken = brokenNativeParts();
    if (broken.length > 0)
      throw new SetupProblem(
        `installed, but a native part does not load on ${process.platform}-${process.arch}:\n  ${broken.join("\n  ")}\n` +
          "  Delete node_modules and try again, or use a platform that the package supports.",
      );
    fs.writeFileSync(STAMP, wanted());
  });
}
