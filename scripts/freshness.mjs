// Whether dist is younger than every source. Asked at each start of the program, so it costs a few milliseconds:
// it looks at times of files and loads nothing else.
import fs from "node:fs";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url)).replace(/[\\/]$/, "");
const OTHER_INPUTS = ["package-lock.json", "tsconfig.json", "vite.config.ts"];

/** Holds the hash of the sources that dist was built from. */
export const STAMP = `${root}/dist/.built-for`;

/** @param {string} name */
function isSource(name) {
  return !name.endsWith(".test.ts") && !name.startsWith(".");
}

/** Every folder and source file below `folder`, a folder before what it holds, in order of name.
 * @param {string} folder
 * @param {(path: string, isFolder: boolean) => void} visit
 */
export function walkSources(folder, visit) {
  visit(folder, true);
  const entries = fs.readdirSync(folder, { withFileTypes: true });
  for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
    const path = `${folder}/${entry.name}`;
    if (entry.isDirectory()) walkSources(path, visit);
    else if (isSource(entry.name)) visit(path, false);
  }
}

/** What else a build depends on. */
export function otherInputs() {
  return OTHER_INPUTS.map((name) => `${root}/${name}`).filter((file) => fs.existsSync(file));
}

/** No source is younger than the build. A deleted source shows in the time of its folder. */
export function isProbablyFresh() {
  const builtMs = fs.statSync(STAMP, { throwIfNoEntry: false })?.mtimeMs;
  if (builtMs === undefined) return false;
  let newestMs = 0;
  /** @param {string} path */
  const look = (path) => {
    newestMs = Math.max(newestMs, fs.statSync(path).mtimeMs);
  };
  walkSources(`${root}/src`, look);
  otherInputs().forEach(look);
  return newestMs <= builtMs;
}
