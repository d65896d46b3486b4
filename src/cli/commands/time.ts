import type { Command } from "commander";
import { recordJobEvent } from "../../book/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { positiveOf } from "../parse.ts";

export function addTime(program: Command): void {
  enteringCommand(
    program,
    {
      usage: "time <job> <minutes> <what...>",
      about: "Log time on a job",
      args: { job: "short name of the job", minutes: "how long", what: "at what" },
      examples: ["fettle time wagon-rough-idle 45 smoke test and throttle"],
    },
    ({ book, args: [job, minutes, ...what], options }) => {
      recordJobEvent(book, job!, "time.logged", { minutes: positiveOf(minutes!, "minutes"), what: what.join(" ") }, options.why);
      return entered(`${minutes} min: ${what.join(" ")}.`);
    },
  );
}
