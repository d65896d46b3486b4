import type { Command } from "commander";
import { keyOfTable, readJob } from "../../book/index.ts";
import { analysisOf, pendingOf } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { block, counted, page, wrapped } from "../text.ts";

export function addCorrect(program: Command): void {
  bookCommand(
    program,
    {
      usage: "correct <job>",
      about: "What the recordings ask of the tables, how sure, what is held, and what you decided so far",
      args: { job: "short name of the job" },
      examples: ["fettle correct wagon-rough-idle", "fettle correct wagon-rough-idle --json"],
      notes: "Nothing is changed by this: accept, hold or edit, then make a revision.",
    },
    ({ book, args: [job], progress }) => {
      const { result, proposals } = analysisOf(book, job!, { onProgress: progress.step });
      const { decisions } = readJob(book, job!).state;
      const pending = decisions.length === 0 ? [] : pendingOf(book, job!).filter((table) => table.changed > 0);
      const json = proposals.map(({ role, after, cellsChanged, cellsCovered, meanAbsChangePercent, why, limited, heldBecause, sd, sdKind }) => ({
        role,
        cellsChanged,
        cellsCovered,
        meanAbsChangePercent,
        why,
        limited,
        heldBecause,
        cells: Array.from(after.cells),
        sd: Array.from(sd),
        sdKind,
      }));
      return {
        json: {
          proposals: json,
          decided: pending.map(({ sheet, changed }) => ({ table: keyOfTable(sheet.table), cellsChanged: changed })),
          couldNot: result.couldNot,
        },
        text: page(
          ...(proposals.length === 0 ? ["The recordings ask for no change."] : []),
          ...proposals.map((made) =>
            [
              wrapped(
                `${made.role}: ${made.cellsChanged} of ${counted(made.before.cells.length, "cell")}, by ${made.meanAbsChangePercent} % on average; ${made.cellsCovered} seen well${
                  made.heldBecause === undefined ? "" : `; HELD for ${made.heldBecause}: repair first`
                }`,
                4,
                0,
              ),
              wrapped(made.why, 4),
              ...made.limited.map((limit) => wrapped(`- ${limit}`, 6, 4)),
            ].join("\n"),
          ),
          block(
            "Decided, not in a revision yet",
            pending.map(({ sheet, changed }) => `  ${keyOfTable(sheet.table)}: ${counted(changed, "cell")}`),
          ),
          block(
            "Could not",
            result.couldNot.filter((what) => /correct/.test(what)).map((what) => wrapped(`- ${what}`, 4, 2)),
          ),
        ),
      };
    },
  );
}
