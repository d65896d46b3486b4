import type { Command } from "commander";
import { recordJobEvent } from "../../book/index.ts";
import { entered, enteringCommand } from "../book-command.ts";

export function addRename(program: Command): void {
  enteringCommand(
    program,
    {
      usage: "rename <job> <title...>",
      about: "Give a job another title; its short name stays",
      args: { job: "short name of the job", title: "the new title" },
      examples: ['fettle rename wagon-rough-idle "Wagon, idle and shift speeds"'],
    },
    ({ book, args: [job, ...title], options }) => {
      recordJobEvent(book, job!, "job.renamed", { title: title.join(" ") }, options.why);
      return entered(`${job} is called "${title.join(" ")}".`);
    },
  );
}
