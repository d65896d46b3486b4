import type { Command } from "commander";
import { type JobEvent, undoLast } from "../../book/index.ts";
import { tellEvent } from "../../desk/index.ts";
import { entered, enteringCommand } from "../book-command.ts";

export function addUndo(program: Command): void {
  enteringCommand(
    program,
    {
      usage: "undo <job>",
      about: "Take back the last entry of a job, by a new entry: nothing is ever rewritten",
      args: { job: "short name of the job" },
      examples: ["fettle undo wagon-rough-idle"],
    },
    ({ book, args: [job], options }) => {
      const event = undoLast(book, job!, options.why) as JobEvent | undefined;
      return event === undefined ? entered("There is nothing to undo.", { done: false }) : entered(`Undone: ${event.by} ${tellEvent(event)}`, event);
    },
  );
}
