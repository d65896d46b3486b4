import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { readJob, recordJobEvent } from "../../book/index.ts";
import { measureAgain } from "../../desk/index.ts";
import { enteringCommand } from "../book-command.ts";
import { wholeOf } from "../parse.ts";
import { block, page, wrapped } from "../text.ts";

export function addWaitOver(program: Command): void {
  enteringCommand(
    program,
    {
      usage: "wait-over <job> [number]",
      about: "End a job's wait, and say what must be measured again after the repair",
      args: { job: "short name of the job", number: "number of the wait, where there is more than one (fettle waits)" },
      examples: ["fettle wait-over wagon-rough-idle", 'fettle wait-over wagon-rough-idle 12 --why "fitted, torqued, idle learned"'],
    },
    ({ book, args: [job, number], options }) => {
      const { waits } = readJob(book, job!).state;
      const wait = number === undefined ? (waits.length === 1 ? waits[0] : undefined) : waits.find((each) => each.number === wholeOf(number, "number"));
      if (wait === undefined)
        throw new UnusableInput({
          at: { file: job! },
          what: waits.length === 0 ? "The job waits for nothing" : "The job has no such wait, or more than one",
          do: waits.length === 0 ? "Nothing is to be ended" : `Give the number: ${waits.map((each) => `${each.number} (${each.what})`).join(", ")}`,
        });
      recordJobEvent(book, job!, "wait.ended", { began: wait.number }, options.why);
      const again = measureAgain(readJob(book, job!).state);
      return {
        json: { ended: wait.number, measureAgain: again },
        text: page(
          `The job goes on: ${wait.what} is there.`,
          block(
            "To measure again after the repair:",
            again.filter((each) => !each.isDone).map((each) => wrapped(`- ${each.what} (settles ${each.settles})`, 2, 0)),
          ),
        ),
      };
    },
  );
}
