import { spawnSync } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { build } from "../../scripts/build.mjs";

const ROOT = path.resolve(import.meta.dirname, "../..");
const PAGE = fs.readFileSync(path.join(ROOT, "docs/worked-example.md"), "utf8");
/** A build elsewhere may be tried instead of the checkout's own. */
const MAIN = process.env.FETTLE_MAIN ?? path.join(ROOT, "dist/cli/main.js");

interface Step {
  readonly command: string;
  readonly shown: readonly string[];
}

/** Commands of the page in order, each with the lines shown under it. */
function stepsOf(page: string): Step[] {
  const blocks = [...page.matchAll(/^```console\n([\s\S]*?)^```$/gm)].map((match) => match[1]!);
  return blocks.flatMap((block) =>
    block
      .split(/^\$ fettle /m)
      .slice(1)
      .map((part) => {
        const [command, ...shown] = part.trimEnd().split("\n");
        return { command: command!, shown };
      }),
  );
}

/** Words of a command line; double quotes hold words together. */
function words(command: string): string[] {
  return [...command.matchAll(/"([^"]*)"|(\S+)/g)].map((match) => match[1] ?? match[2]!);
}

/**
 * Text as it is compared: figures may move with every improvement of a fit, and lines break where the figures leave them; words,
 * verdicts and their order may not.
 */
function plain(text: string): string {
  return text
    .replace(/[−+]?\d+(\.\d+)?/g, "#")
    .replace(/-#/g, "#")
    .replace(/\s+/g, " ")
    .trim();
}

let folder: string;
beforeAll(async () => {
  if (process.env.FETTLE_MAIN === undefined) await build();
  folder = fs.mkdtempSync(path.join(os.tmpdir(), "fettle-example-"));
});
afterAll(() => fs.rmSync(folder, { recursive: true, force: true }));

const steps = stepsOf(PAGE);

test("the page tells a whole job", () => {
  const used = new Set(steps.map((step) => words(step.command)[0]));
  for (const command of [
    "begin",
    "add",
    "inspect",
    "diagnose",
    "observe",
    "wait",
    "wait-over",
    "correct",
    "accept",
    "hold",
    "edit",
    "revise",
    "verify",
    "why",
    "report",
  ])
    expect(used).toContain(command);
});

test.each(steps.map((step, i) => [i + 1, step.command, step] as const))("%i: fettle %s", (_, command, { shown }) => {
  const env = { ...process.env, FETTLE_BOOK: path.join(folder, "book"), FETTLE_BY: "ann", TZ: "UTC" };
  const { status, stdout, stderr } = spawnSync(process.execPath, [MAIN, ...words(command)], { cwd: folder, env, encoding: "utf8" });
  expect(stderr).toBe("");
  expect(status).toBe(0);
  const answer = plain(stdout);
  let from = 0;
  for (const piece of shown.join("\n").split("…").map(plain)) {
    const at = answer.indexOf(piece, from);
    expect(at >= 0 ? "" : `${piece}\n\nis not in\n\n${stdout}`).toBe("");
    from = at + piece.length;
  }
});
