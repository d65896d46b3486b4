import type { Command } from "commander";
import { type JobEvent, redoLast } from "../../book/index.ts";
import { tellEvent } from "../../desk/index.ts";
import { entered, enteringCommand } from "../book-command.ts";

export function addRedo(program: Command): void {
  enteringCommand(
    program,
    { usage: "redo <job>", about: "Bring back what was undone last", args: { job: "short name of the job" }, examples: ["fettle redo wagon-rough-idle"] },
    ({ book, args: [job], options }) => {
      const event = redoLast(book, job!, options.why) as JobEvent | undefined;
      return event === undefined
        ? entered("There is nothing to bring back.", { done: false })
        : entered(`Brought back: ${event.by} ${tellEvent(event)}`, event);
    },
  );
}
