// Writes the file of a new check, fault or correction with blanks to fill in.
// Usage: npm run new -- check trans.shift-time-zero
import fs from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";

const SRC = fileURLToPath(new URL("../src/", import.meta.url));

/** @param {string} id */
const check = (id) => `import { defineCheck } from "../define.ts";

export default defineCheck({
  id: "${id}",
  title: "",
  severity: "fix",
  // Roles that must be there; where one is missing a couldNot line says so and run is not called.
  needs: [],
  why: "",
  do: "",
  sources: ["common-practice"],
  // Shown on the page, run by the contract test: at least one of each.
  examples: { fires: [], silent: [] },
  run() {
    return [];
  },
});
`;

/** @param {string} id */
const fault = (id) => `import { defineFault } from "../define.ts";

export default defineFault({
  // A new id also goes into FAULTS in core/result: the names of faults are part of the result.
  id: "${id}",
  title: "",
  what: "",
  moves: "",
  neighbours: [],
  cost: "",
  prior: 1,
  needs: [],
  poisons: [],
  tests: [],
  sources: ["common-practice"],
});
`;

/** @param {string} id */
const correction = (id) => `import { defineCorrection } from "../define.ts";

export default defineCorrection({
  id: "${id}",
  title: "",
  writes: "air.ve",
  needs: [],
  observationsNeeded: "",
  why: "",
  heldBy: [],
  largestStep: 0.1,
  sources: ["common-practice"],
  compute() {
    return {};
  },
});
`;

/** @type {Record<string, { folder: string, text: (id: string) => string }>} */
const KINDS = {
  check: { folder: "core/checks", text: check },
  fault: { folder: "core/faults", text: fault },
  correction: { folder: "core/corrections", text: correction },
};

/** Where a member's file lies below src: its path is its id.
 * @param {string} kind
 * @param {string} id
 */
export function memberFile(kind, id) {
  const { folder } = /** @type {{ folder: string }} */ (KINDS[kind]);
  return `${folder}/${id.replace(".", "/")}.ts`;
}

/** Kebab-case words with one dot between family and name. @param {string} id */
export function isMemberId(id) {
  return /^[a-z][a-z0-9]*(-[a-z0-9]+)*\.[a-z][a-z0-9]*(-[a-z0-9]+)*$/.test(id);
}

/**
 * @param {string} kind
 * @param {string} id
 * @returns {string} what the new file holds
 */
export function memberText(kind, id) {
  return /** @type {{ text: (id: string) => string }} */ (KINDS[kind]).text(id);
}

/** @param {string[]} args */
function main([kind = "", id = ""]) {
  if (!Object.hasOwn(KINDS, kind) || !isMemberId(id)) {
    process.stderr.write(
      `usage: npm run new -- ${Object.keys(KINDS).join("|")} FAMILY.NAME\n` +
        "  FAMILY.NAME names the condition found, in lower case: trans.shift-time-zero\n",
    );
    return 2;
  }
  const file = path.join(SRC, memberFile(kind, id));
  if (fs.existsSync(file)) {
    process.stderr.write(`${path.relative(process.cwd(), file)} is there already\n`);
    return 1;
  }
  fs.mkdirSync(path.dirname(file), { recursive: true });
  fs.writeFileSync(file, memberText(kind, id));
  process.stdout.write(
    `wrote ${path.relative(process.cwd(), file)}\n` +
      "next: fill in the blanks, then npm run generate (registers it, writes its page) and npm test -- " +
      `src/${/** @type {{ folder: string }} */ (KINDS[kind]).folder} tests\n`,
  );
  return 0;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) process.exitCode = main(process.argv.slice(2));
