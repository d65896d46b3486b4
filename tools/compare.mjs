// What a change does to all packets at hand: their results at a git revision and now, side by side.
// Usage: npm run compare -- REF [FOLDER ...]
//   REF     a commit, branch or tag
//   FOLDER  packets, or folders of packets; without any: those of the repository
// Prints Markdown that can go into the body of a commit. Status 0 whether or not anything changed.
import { spawnSync } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const PACKET_FOLDERS = ["examples/packets", "tests/data/packets"];

/** @typedef {import("../src/core/result/index.ts").Result} Result */

/** Lines that say what matters in a result, comparable one by one.
 * @param {Result | string} result  a result, or why there is none
 * @returns {string[]}
 */
export function linesOf(result) {
  if (typeof result === "string") return [`no result: ${result}`];
  return [
    ...result.edits.map((edit) => `edit ${edit.table}: ${edit.kind}${edit.by === undefined ? "" : ` ${edit.by}`}`),
    ...result.findings.map((finding) => `finding ${finding.check} (${finding.severity}): ${finding.summary}`),
    ...result.suspects
      .filter((suspect) => suspect.probability >= 0.01)
      .map((suspect) => `suspect ${suspect.fault}: ${(100 * suspect.probability).toFixed(0)} %`),
    ...result.corrections.map(
      (each) =>
        `correction ${each.role}: ${each.cellsChanged} cells, mean ${each.meanAbsChangePercent.toFixed(1)} %` +
        `${each.heldBecause === undefined ? "" : `, held: ${each.heldBecause}`}`,
    ),
    ...result.pulls.map(
      (pull) => `pull ${pull.file}: ${pull.peakPowerKw.toFixed(1)} kW, ${pull.peakTorqueNm.toFixed(1)} Nm`,
    ),
    ...result.couldNot.map((text) => `could not: ${text}`),
  ];
}

/** What went and what came, as the lines of a difference.
 * @param {string[]} before
 * @param {string[]} after
 */
export function difference(before, after) {
  return [
    ...before.filter((line) => !after.includes(line)).map((line) => `- ${line}`),
    ...after.filter((line) => !before.includes(line)).map((line) => `+ ${line}`),
  ];
}

/** Packets among the folders: each a packet itself, or a folder of packets.
 * @param {string[]} folders
 */
function packetsIn(folders) {
  const isPacket = (/** @type {string} */ folder) => fs.existsSync(path.join(folder, "intake.json"));
  return folders
    .filter((folder) => fs.existsSync(folder))
    .flatMap((folder) =>
      isPacket(folder)
        ? [folder]
        : fs
            .readdirSync(folder)
            .sort()
            .map((name) => path.join(folder, name))
            .filter(isPacket),
    );
}

/** @param {string} program @param {string[]} args @param {string} cwd */
function must(program, args, cwd) {
  const result = spawnSync(program, args, { cwd, encoding: "utf8", maxBuffer: 1 << 28 });
  if (result.status !== 0) throw new Error(`${program} ${args.join(" ")}: ${result.stderr || result.error?.message}`);
  return result.stdout;
}

/** A checkout of the revision with the packages of this one, or its own where the lock differs.
 * @param {string} ref
 * @param {string} folder
 */
function checkOut(ref, folder) {
  must("git", ["worktree", "add", "--detach", folder, ref], ROOT);
  const lock = (/** @type {string} */ root) => fs.readFileSync(path.join(root, "package-lock.json"), "utf8");
  if (lock(folder) === lock(ROOT)) fs.symlinkSync(path.join(ROOT, "node_modules"), path.join(folder, "node_modules"));
  else must(process.execPath, ["scripts/run.mjs", "build"], folder);
}

/** @param {string} root @param {string} packet @param {string} out
 * @returns {Result | string}
 */
function run(root, packet, out) {
  const args = [path.join(root, "bin", "fettle"), "run", packet, "--out", out];
  const { status, stderr } = spawnSync(process.execPath, args, { encoding: "utf8" });
  if (status !== 0) return `status ${status}: ${stderr.trim().split("\n").at(-1)}`;
  return JSON.parse(fs.readFileSync(path.join(out, "result.json"), "utf8"));
}

/** @param {string[]} args */
function main([ref, ...folders]) {
  if (ref === undefined) {
    process.stderr.write("usage: npm run compare -- REF [FOLDER ...]\n");
    return 2;
  }
  const packets = packetsIn(
    folders.length > 0
      ? folders.map((folder) => path.resolve(process.env.INIT_CWD ?? ROOT, folder))
      : PACKET_FOLDERS.map((folder) => path.join(ROOT, folder)),
  );
  if (packets.length === 0) {
    process.stderr.write("compare: no packet found\n");
    return 1;
  }
  const scratch = fs.mkdtempSync(path.join(os.tmpdir(), "fettle-compare-"));
  const before = path.join(scratch, "before");
  try {
    checkOut(ref, before);
    let changed = 0;
    for (const packet of packets) {
      const name = path.basename(packet);
      const lines = difference(
        linesOf(run(before, packet, path.join(scratch, "out-before", name))),
        linesOf(run(ROOT, packet, path.join(scratch, "out-now", name))),
      );
      if (lines.length === 0) continue;
      changed++;
      process.stdout.write(`### ${name}\n\n\`\`\`diff\n${lines.join("\n")}\n\`\`\`\n\n`);
    }
    process.stdout.write(`${packets.length} packets, ${changed} with another result than at ${ref}\n`);
    return 0;
  } finally {
    spawnSync("git", ["worktree", "remove", "--force", before], { cwd: ROOT });
    fs.rmSync(scratch, { recursive: true, force: true });
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) process.exitCode = main(process.argv.slice(2));
