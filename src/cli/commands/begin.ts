import type { Command } from "commander";
import { createJob } from "../../book/index.ts";
import { beginAgain } from "../../desk/index.ts";
import { entered, enteringCommand } from "../book-command.ts";

export function addBegin(program: Command): void {
  enteringCommand<{ readonly vehicle?: string; readonly again?: string }>(
    program,
    {
      usage: "begin <title...>",
      about: "Begin a job and print its short name, which all other commands take",
      args: { title: "what the job is called on the board" },
      examples: [
        'fettle begin "Wagon, rough idle"',
        'fettle begin "Wagon, rough idle" --vehicle "wagon, 3.0 L six" --why "stalls when warm"',
        'fettle begin "Wagon, smells of fuel" --again wagon-rough-idle',
      ],
    },
    ({ book, args, options }) => {
      const { vehicle, again, why } = options;
      const entry = { title: args.join(" "), ...(vehicle === undefined ? {} : { vehicle }), ...(why === undefined ? {} : { why }) };
      const slug = again === undefined ? createJob(book, entry) : beginAgain(book, again, entry);
      return entered(slug, { job: slug });
    },
  )
    .option("--vehicle <words>", "the vehicle, in words")
    .option("--again <job>", "earlier job on the same vehicle: its facts come along, what belonged to that day does not");
}
