import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { answering, describe, entered } from "../book-command.ts";
import { numberOf, positiveOf, wholeOf } from "../parse.ts";
import { simulateToFolder } from "../simulate.ts";

interface SimulateOptions {
  readonly seed: string;
  readonly out: string;
  readonly fault?: readonly string[];
  readonly severity?: string;
  readonly family?: string;
  readonly sweeps?: string;
  readonly dialect?: string;
  readonly minutes?: string;
  readonly again?: string;
  readonly back?: string;
}

export function addSimulate(program: Command): void {
  const command = describe(program, {
    usage: "simulate",
    about: "Make up a packet of a vehicle whose truth is known, to try things on. Needs no shop book",
    examples: [
      "fettle simulate --seed 7 --out made-up",
      "fettle simulate --seed 7 --fault air.throttle-overflow --severity 0.6 --sweeps 3 --out made-up",
      "fettle simulate --seed 7 --again sheets-of-revision-1 --out second-drive",
      "fettle simulate --seed 7 --back sheets-of-revision-1 --fault cooling.runs-cold --out half-a-year-later",
    ],
    notes: `The truth lies beside the packet in truth.json; nothing but tests ever reads it. Left out in --again, a fault
counts as repaired; given with --back, it has come since the vehicle left.`,
  })
    .requiredOption("--seed <number>", "whole number; the same seed gives the same vehicle")
    .requiredOption("--out <folder>", "where the packet goes")
    .option("--fault <id...>", "faults to build in; left out: a healthy vehicle")
    .option("--severity <share>", "how bad, 0.2 to 1 (default: drawn)")
    .option("--family <id>", "kind of engine (default: drawn)")
    .option("--sweeps <count>", "sweeps on the rollers")
    .option("--minutes <number>", "length of the road drive (default: drawn)")
    .option("--again <folder>", "only another drive of the same vehicle, with the table sheets of this folder in its controller")
    .option("--back <folder>", "the same vehicle months later with these sheets: other weather, another tank, another drive, and the fault that has come since")
    .option("--dialect <id>", "how the files are written (default: drawn)");
  answering<SimulateOptions>(command, (_, options) => {
    const made = inWords(() =>
      simulateToFolder({
        seed: wholeOf(options.seed, "--seed"),
        out: options.out,
        faults: options.fault,
        severity: options.severity === undefined ? undefined : numberOf(options.severity, "--severity"),
        family: options.family,
        sweeps: options.sweeps === undefined ? undefined : wholeOf(options.sweeps, "--sweeps"),
        dialect: options.dialect,
        minutes: options.minutes === undefined ? undefined : positiveOf(options.minutes, "--minutes"),
        again: options.again,
        back: options.back,
      }),
    );
    return entered(made.summary, made);
  });
}

function inWords<T>(work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new UnusableInput({ at: { file: "simulate" }, what: error.message, do: "Take one of those known" });
  }
}
