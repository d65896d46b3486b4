import type { Command } from "commander";
import { recordJobEvent } from "../../book/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { oneOf } from "../parse.ts";

const ANSWERS = ["accepted", "disputed", "done"] as const;

export function addAnswer(program: Command): void {
  enteringCommand(
    program,
    {
      usage: "answer <job> <finding> <answer>",
      about: "Say what you make of a finding: accepted, disputed or done",
      args: { job: "short name of the job", finding: "its name, as inspect prints it", answer: ANSWERS.join(", ") },
      examples: ['fettle answer wagon-rough-idle spark.patch disputed --why "this engine wants it, proven on the rollers"'],
    },
    ({ book, args: [job, finding, answer], options }) => {
      recordJobEvent(book, job!, "finding.answered", { finding: finding!, answer: oneOf(answer!, ANSWERS, "answer") }, options.why);
      return entered(`${finding}: ${answer}.`);
    },
  );
}
