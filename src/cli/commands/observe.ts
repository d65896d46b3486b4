import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { recordJobEvent } from "../../book/index.ts";
import { WORKSHOP_TESTS } from "../../core/faults/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { numberOf, oneOf } from "../parse.ts";

export function addObserve(program: Command): void {
  enteringCommand<{ readonly value?: string }>(
    program,
    {
      usage: "observe <job> <test> <outcome...>",
      about: "Enter the outcome of a workshop test; the suspects are weighed anew with it",
      args: { job: "short name of the job", test: "id of the test, as diagnose lists it", outcome: "its outcome, one of those it can have" },
      examples: ['fettle observe wagon-rough-idle smoke-test "no smoke"', "fettle explain smoke-test"],
      notes: "The tests, how each is done, with what cautions, and their outcomes: docs/workshop-tests.md.",
    },
    ({ book, args: [job, id, ...words], options }) => {
      const test = WORKSHOP_TESTS.find((each) => each.id === id);
      if (test === undefined)
        throw new UnusableInput({
          at: { file: job! },
          what: `There is no test "${id}"`,
          do: `Take one of ${WORKSHOP_TESTS.map((each) => each.id).join(", ")}`,
        });
      const outcome = oneOf(words.join(" "), test.outcomes, "outcome");
      const value = options.value === undefined ? {} : { value: numberOf(options.value, "--value") };
      recordJobEvent(book, job!, "test.observed", { test: test.id, outcome, ...value }, options.why);
      return entered(`${test.title}: ${outcome}. See what it makes of the suspects: fettle diagnose ${job}`);
    },
  ).option("--value <number>", "what was measured");
}
