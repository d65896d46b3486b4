import type { Command } from "commander";
import { addBench } from "./bench.ts";
import { addRun } from "./run.ts";

/** Every command, in the order of the help. */
export const COMMANDS: readonly ((program: Command) => void)[] = [addBench, addRun];
