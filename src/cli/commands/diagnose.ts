import type { Command } from "commander";
import { FAULT_STORIES } from "../../core/faults/index.ts";
import type { Suspect } from "../../core/result/index.ts";
import { analysisOf } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { block, page, wrapped } from "../text.ts";

const SHOWN_FROM = 0.02;
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
      const shown = result.suspects.filter((suspect, i) => i === 0 || suspect.probability >= SHOWN_FROM);
      return {
        json: { suspects: result.suspects, tests, recordNext, repairFirst, couldNot: result.couldNot },
        text: page(
          shown.map(suspectText).join("\n\n"),
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

function suspectText(suspect: Suspect): string {
  const title = FAULT_STORIES.find((story) => story.id === suspect.fault)?.title ?? suspect.fault;
  const sizes = (suspect.sizes ?? []).map((size) => `${size.name} ${digits(size.value)} ${size.unit} (${digits(size.low)} to ${digits(size.high)})`);
  return [
    wrapped(`${String(Math.round(100 * suspect.probability)).padStart(3)} %  ${title} (${suspect.fault})`, 7, 0),
    ...sizes.map((size) => wrapped(size, 9, 7)),
    ...suspect.for.map((evidence) => wrapped(`+ ${evidence.text}`, 9, 7)),
    ...suspect.against.map((evidence) => wrapped(`- ${evidence.text}`, 9, 7)),
    ...(suspect.next === undefined ? [] : [wrapped(`Next: ${suspect.next}`, 13, 7)]),
  ].join("\n");
}

function digits(value: number): string {
  return String(Number(value.toPrecision(3)));
}
