import { readFileSync } from "node:fs";
import { Command } from "commander";
import { GROUPS } from "./commands/index.ts";

const USAGE_STATUS = 2;

function versionOf(): string {
  const file = new URL("../../package.json", import.meta.url);
  return (JSON.parse(readFileSync(file, "utf8")) as { version: string }).version;
}

/** The whole command line: one command a file under `commands/`, wrong usage ends with status 2. */
export function buildProgram(): Command {
  const program = new Command("fettle")
    .description(
      "A bench for people who calibrate gasoline engines: reads what a vehicle came with, says what was changed, what contradicts itself and what the recordings show. It never writes to a vehicle.",
    )
    .version(versionOf())
    // Names alone: with arguments beside them, no room is left for words on an 80-column terminal.
    .configureHelp({ showGlobalOptions: true, subcommandTerm: (command) => command.name(), minWidthToWrap: 30 })
    .showHelpAfterError("(fettle --help lists the commands)")
    .exitOverride(leave);
  for (const { heading, commands } of GROUPS) {
    program.commandsGroup(heading);
    for (const add of commands) add(program);
  }
  leaveEverywhere(program);
  return program;
}

function leaveEverywhere(command: Command): void {
  for (const below of command.commands) {
    below.exitOverride(leave).showHelpAfterError(`(fettle ${namesOf(below)} --help shows how)`);
    leaveEverywhere(below);
  }
}

function namesOf(command: Command): string {
  return command.parent?.parent ? `${namesOf(command.parent)} ${command.name()}` : command.name();
}

/** Help and version end well; anything else that the parser stops at is wrong usage. */
function leave(error: { readonly code: string; readonly exitCode: number }): never {
  process.exit(error.exitCode === 0 ? 0 : USAGE_STATUS);
}
