import { readFileSync } from "node:fs";
import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { recordBookEvent } from "../../book/index.ts";
import { entered, enteringCommand } from "../book-command.ts";

interface ChecklistOptions {
  readonly from?: string;
  readonly drop?: boolean;
}

export function addRememberChecklist(parent: Command): void {
  enteringCommand<ChecklistOptions>(
    parent,
    {
      usage: "checklist <name> [items...]",
      about: "Keep a list to tick off, as plain text: what is done before a pull, how a controller is read",
      args: { name: "name of the list", items: "its items, in order; or give a file" },
      examples: ['fettle remember checklist "Before a pull" "Tie-downs" "Fans" "Who stops it"', 'fettle remember checklist "Reading" --from reading.txt'],
      notes: "The facility's own rules come first.",
    },
    ({ book, args: [name, ...items], options }) => {
      const text = options.drop === true ? "" : options.from === undefined ? items.join("\n") : textOf(options.from);
      if (text.trim() === "" && options.drop !== true)
        throw new UnusableInput({ at: { file: name! }, what: "The list has no item", do: "Give its items, a file with --from, or --drop" });
      recordBookEvent(book, "checklist.written", { name: name!, text }, options.why);
      return entered(options.drop === true ? `Dropped the list ${name}.` : `Kept the list ${name}.`);
    },
  )
    .option("--from <file>", "text file with one item a line")
    .option("--drop", "drop the list");
}

function textOf(file: string): string {
  try {
    return readFileSync(file, "utf8");
  } catch {
    throw new UnusableInput({ at: { file }, what: "The file cannot be opened", do: "Check its name, and that you may read it" });
  }
}
