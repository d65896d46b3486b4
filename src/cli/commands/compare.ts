import type { Command } from "commander";
import { compareRevisions, type Side } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { wholeOf } from "../parse.ts";
import { page, wrapped } from "../text.ts";

export function addCompare(program: Command): void {
  bookCommand(
    program,
    {
      usage: "compare <job> <from> <to>",
      about: "What was done to get from one calibration of a job to another, a sentence a table",
      args: { job: "short name of the job", from: 'a revision, 0 for as received, or "factory"', to: "the same" },
      examples: ["fettle compare wagon-rough-idle factory 1", "fettle compare wagon-rough-idle 0 2 --json"],
    },
    ({ book, args: [job, from, to] }) => {
      const edits = compareRevisions(book, job!, sideOf(from!), sideOf(to!));
      return {
        json: edits,
        text: edits.length === 0 ? "No table differs.\n" : page(edits.map((edit) => wrapped(`${edit.role ?? edit.table}: ${edit.summary}`, 4, 0)).join("\n")),
      };
    },
  );
}

function sideOf(text: string): Side {
  return text === "factory" ? text : wholeOf(text, "revision");
}
