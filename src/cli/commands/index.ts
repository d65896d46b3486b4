import type { Command } from "commander";
import { addRun } from "./run.ts";

/** Every command, in the order of the help. */
export const COMMANDS: readonly ((program: Command) => void)[] = [addRun];
