import type { Command } from "commander";
import { analysisOf } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { suspectText, worthALine } from "../suspect-text.ts";
import { block, page, wrapped } from "../text.ts";

const MOST_TESTS = 5;

export function addDiagnose(program: Command): void {
  bookCommand(
    program,
    {
      usage: "diagnose <job>",
      about: "Which stories explain the recordings, for and against, and which test tells them apart",
      args: { job: "short name of the job" },
      examples: ["fettle diagnose wagon-rough-idle", "fettle diagnose wagon-rough-idle --json"],
    },
    ({ book, args: [job], progress }) => {
      const { result, tests, recordNext, repairFirst } = analysisOf(book, job!, { onProgress: progress.step });
      return {
        json: { suspects: result.suspects, tests, recordNext, repairFirst, couldNot: result.couldNot },
        text: page(
          worthALine(result.suspects).map(suspectText).join("\n\n"),
          block(
            "Repair first",
            repairFirst.map((first) => wrapped(`- ${first.title}: until then held: ${first.holds.join(", ")}`, 4, 2)),
          ),
          block(
            "Tests, the most telling a minute first",
            tests
              .slice(0, MOST_TESTS)
              .map((test) =>
                [
                  wrapped(`${test.id}: ${test.title}, about ${test.minutes} min. Outcomes: ${test.outcomes.map((each) => `"${each}"`).join(", ")}`, 4, 2),
                  ...test.cautions.map((caution) => wrapped(`Caution: ${caution}`, 6, 4)),
                ].join("\n"),
              ),
          ),
          block(
            "To record next",
            recordNext.map((what) => wrapped(`- ${what}`, 4, 2)),
          ),
          block(
            "Could not",
            result.couldNot.map((what) => wrapped(`- ${what}`, 4, 2)),
          ),
        ),
      };
    },
  );
}
