import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { referencesFor, useReference as takeReference } from "../../desk/index.ts";
import { enteringCommand } from "../book-command.ts";
import { counted, page, wrapped } from "../text.ts";

export function addReferences(program: Command): void {
  enteringCommand<{ readonly take?: string }>(
    program,
    {
      usage: "references <job>",
      about: "Calibrations of earlier jobs that can serve this one as its factory reference, nearest first",
      args: { job: "short name of the job" },
      examples: ["fettle references wagon-rough-idle", 'fettle references wagon-rough-idle --take "3.0 six, factory"'],
      notes: "Taking one copies its sheets into the job; whether the two vehicles left the factory alike is yours to judge.",
    },
    ({ book, args: [job], options }) => {
      const ranked = referencesFor(book, job!);
      if (options.take !== undefined) {
        const chosen = ranked.find((each) => each.offered.name === options.take);
        if (chosen === undefined)
          throw new UnusableInput({
            at: { file: job! },
            what: `No reference is called "${options.take}"`,
            do: ranked.length === 0 ? "No earlier job has one that fits" : `Take one of ${ranked.map((each) => `"${each.offered.name}"`).join(", ")}`,
          });
        const sheets = takeReference(book, job!, chosen.offered, options.why);
        return { json: { taken: chosen.offered, sheets }, text: `Took ${chosen.offered.name}: ${counted(sheets, "sheet")}.\n` };
      }
      const lines = ranked.map((each) => wrapped(`${Math.round(100 * each.nearness)} %  ${each.offered.name}: ${each.because}`, 7, 0));
      return { json: ranked, text: ranked.length === 0 ? "No earlier job has a calibration that fits.\n" : page(lines.join("\n")) };
    },
  ).option("--take <name>", "use this one: its sheets become the job's reference");
}
