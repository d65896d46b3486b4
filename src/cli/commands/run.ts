import { existsSync, statSync } from "node:fs";
import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { runJob } from "../../core/job/index.ts";
import { resultFiles } from "../../desk/index.ts";
import { orFail } from "../fail.ts";
import { loadPacket } from "../load-packet.ts";
import { terminalProgress } from "../progress.ts";
import { writeFiles } from "../write-files.ts";

interface RunOptions {
  readonly out?: string;
  readonly json?: boolean;
}

export function addRun(program: Command): void {
  program
    .command("run")
    .description("Do the whole main job on a packet: read, compare, check, diagnose, correct, report. Needs no shop book.")
    .argument("<packet>", "folder with intake.json, calibration/, recordings/, pulls/")
    .option("--out <folder>", "where result.json, report.html and corrections/ go")
    .option("--json", "print result.json on stdout")
    .addHelpText(
      "after",
      `
Examples:
  fettle run customer-packet --out answer
  fettle run customer-packet --json | less
  fettle run customer-packet --out answer --json > result.json

Exit status: 0 done; 1 the packet could not be used (one line on stderr says why); 2 wrong usage.`,
    )
    .action((packetFolder: string, options: RunOptions) => orFail(() => run(packetFolder, options)));
}

function run(packetFolder: string, options: RunOptions): void {
  if (options.out === undefined && options.json !== true) {
    process.stderr.write("fettle run: nothing to do with the answer. Give --out FOLDER, --json or both.\n");
    process.exitCode = 2;
    return;
  }
  if (options.out !== undefined && existsSync(options.out) && !statSync(options.out).isDirectory())
    throw new UnusableInput({ at: { file: options.out }, what: "This is a file, not a folder", do: "Give a folder with --out" });
  const progress = terminalProgress(process.stderr);
  progress.step("reading the packet", 0.02);
  const loaded = loadPacket(packetFolder);
  const outcome = runJob(loaded.packet, { onProgress: (text, share) => progress.step(text, 0.2 + 0.7 * share) });
  progress.step("writing the answer", 0.92);
  const files = resultFiles(loaded, outcome);
  if (options.out !== undefined) writeFiles(options.out, files);
  progress.done();
  if (options.json === true) process.stdout.write(`${JSON.stringify(outcome.result, null, 2)}\n`);
  else process.stdout.write(summaryOf(outcome.result, options.out!));
}

/** A few lines for the person who typed the command; everything else is in the report. */
function summaryOf(result: ReturnType<typeof runJob>["result"], out: string): string {
  const changed = result.edits.filter((edit) => edit.kind !== "unchanged").length;
  const worst = ["stop", "fix", "watch", "note"].map((severity) => `${result.findings.filter((f) => f.severity === severity).length} ${severity}`).join(", ");
  const lead = result.suspects[0];
  const held = result.corrections.filter((c) => c.heldBecause !== undefined).length;
  return [
    `${changed} of ${result.edits.length} tables changed against the reference.`,
    `Findings: ${worst}.`,
    lead === undefined ? "No recordings to diagnose." : `Leading suspect: ${lead.fault} (${Math.round(100 * lead.probability)} %).`,
    `Corrections: ${result.corrections.length - held} proposed, ${held} held until something is repaired.`,
    `Report: ${out}/report.html`,
    "",
  ].join("\n");
}
