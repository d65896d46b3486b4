// Finds a Chromium-family browser for the browser tests and the PDF report. On Debian and Ubuntu as root
// (containers, CI) it installs one. Node built-ins only.
import { spawnSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { SetupProblem, say } from "./paths.mjs";

const LINUX_NAMES = ["chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "microsoft-edge-stable"];
const MAC_APPS = ["Google Chrome", "Microsoft Edge", "Chromium"];
const WINDOWS_PROGRAMS = [
  "Google/Chrome/Application/chrome.exe",
  "Microsoft/Edge/Application/msedge.exe",
  "Chromium/Application/chrome.exe",
];
const ATTEMPTS = 3;

/** @param {string} file */
function isExecutable(file) {
  try {
    fs.accessSync(file, fs.constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/** Usual places of a browser, best first.
 * @param {NodeJS.ProcessEnv} env
 * @param {NodeJS.Platform} platform
 */
function usualPlaces(env, platform) {
  if (platform === "win32") {
    const folders = [env.PROGRAMFILES, env["PROGRAMFILES(X86)"], env.LOCALAPPDATA].filter(
      (folder) => folder !== undefined,
    );
    return folders.flatMap((folder) => WINDOWS_PROGRAMS.map((program) => path.join(folder, program)));
  }
  if (platform === "darwin")
    return ["", env.HOME ?? ""].flatMap((home) =>
      MAC_APPS.map((app) => `${home}/Applications/${app}.app/Contents/MacOS/${app}`),
    );
  const folders = [...(env.PATH ?? "").split(":").filter(Boolean), "/usr/bin", "/snap/bin"];
  return folders.flatMap((folder) => LINUX_NAMES.map((name) => path.join(folder, name)));
}

/**
 * Path of a browser, undefined where there is none. CHROMIUM_PATH or CHROME_PATH go before the usual places.
 * @throws {SetupProblem} when such a variable names something that cannot be run
 */
export function findChromium(env = process.env, platform = process.platform) {
  for (const name of ["CHROMIUM_PATH", "CHROME_PATH"]) {
    const asked = env[name];
    if (!asked) continue;
    if (!isExecutable(asked)) throw new SetupProblem(`${name}=${asked} is not an executable file`);
    return asked;
  }
  return usualPlaces(env, platform).find(isExecutable);
}

function installFromDistribution() {
  say("installing chromium from the distribution, for the browser tests");
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
  /** @param {string[]} args */
  const aptGet = (args) => spawnSync("apt-get", args, { env, stdio: ["ignore", 2, 2] }).status === 0;
  for (let attempt = 1; attempt <= ATTEMPTS; attempt++) {
    aptGet(["update", "-qq"]);
    if (aptGet(["install", "-y", "-qq", "--no-install-recommends", "chromium", "fonts-dejavu-core"])) return;
  }
}

/**
 * Path of a browser, installed first where we may.
 * @throws {SetupProblem} saying what to install; tests are never skipped for want of a browser
 */
export function ensureChromium() {
  const found = findChromium();
  if (found !== undefined) return found;
  if (process.platform === "linux" && process.getuid?.() === 0 && isExecutable("/usr/bin/apt-get")) {
    installFromDistribution();
    const installed = findChromium();
    if (installed !== undefined) return installed;
  }
  throw new SetupProblem(
    "No Chromium, Chrome or Edge was found. Install one (Debian or Ubuntu: apt-get install chromium) " +
      "or set CHROMIUM_PATH to its program.",
  );
}

/** Arguments for a quiet, offline browser without a screen. */
export function chromiumArgs() {
  const isRoot = process.platform === "linux" && process.getuid?.() === 0;
  return [
    ...(isRoot ? ["--no-sandbox"] : []), // the sandbox refuses to start as root
    "--disable-gpu", // software WebGL makes a 2D canvas twenty times slower
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
  ];
}
