import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { readJob, recordJobEvent } from "../../book/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { counted } from "../text.ts";

export function addTakeOut(program: Command): void {
  enteringCommand(
    program,
    {
      usage: "take-out <job> <paths...>",
      about: "Leave files of a job out of its analysis; they stay in the book, and undo brings them back",
      args: { job: "short name of the job", paths: "paths as fettle show lists them, or a folder such as calibration/reference" },
      examples: ['fettle take-out wagon-rough-idle recordings/road.csv --why "probe fell off after two minutes"'],
    },
    ({ book, args: [job, ...paths], options }) => {
      const { files } = readJob(book, job!).state;
      const wanted = new Set(
        paths.flatMap((path) => {
          const fitting = files.filter((file) => file.path === path || file.path.startsWith(`${path.replace(/\/$/, "")}/`));
          if (fitting.length > 0) return fitting.map((file) => file.path);
          throw new UnusableInput({ at: { file: path }, what: "The job has no such file", do: `See what it has: fettle show ${job}` });
        }),
      );
      const taken = [...wanted].sort();
      recordJobEvent(book, job!, "files.withdrawn", { paths: taken }, options.why);
      return entered(`Took out ${counted(taken.length, "file")}.`, { paths: taken });
    },
  );
}
