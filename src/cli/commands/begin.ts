import type { Command } from "commander";
import { createJob } from "../../book/index.ts";
import { entered, enteringCommand } from "../book-command.ts";

export function addBegin(program: Command): void {
  enteringCommand<{ readonly vehicle?: string }>(
    program,
    {
      usage: "begin <title...>",
      about: "Begin a job and print its short name, which all other commands take",
      args: { title: "what the job is called on the board" },
      examples: ['fettle begin "Wagon, rough idle"', 'fettle begin "Wagon, rough idle" --vehicle "wagon, 3.0 L six" --why "stalls when warm"'],
    },
    ({ book, args, options }) => {
      const slug = createJob(book, { title: args.join(" "), vehicle: options.vehicle, why: options.why });
      return entered(slug, { job: slug });
    },
  ).option("--vehicle <words>", "the vehicle, in words");
}
