import type { Command } from "commander";
import { promiseOf } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { block, columns, page, wrapped } from "../text.ts";
import { meanText, replayText } from "../verified-text.ts";

export function addPromise(program: Command): void {
  bookCommand(
    program,
    {
      usage: "promise <job>",
      about: "What the decisions so far would leave of the errors over the recorded drive, before a revision is made of them",
      args: { job: "short name of the job" },
      examples: ["fettle promise wagon-rough-idle", "fettle promise wagon-rough-idle --json"],
      notes: "The drive is replayed with the decided tables. Once the revision was driven, verify holds the promise to what was seen.",
    },
    ({ book, args: [job] }) => {
      const promise = promiseOf(book, job!);
      if (promise === undefined) return { json: null, text: "Nothing is decided that changes a cell.\n" };
      return {
        json: promise,
        text: page(
          ...promise.tables.map((table) => {
            const rows = table.regions.map((region) => [
              `  ${region.name}`,
              meanText(region.before.mean, table.unit),
              meanText(region.predicted.mean, table.unit),
            ]);
            return block(table.role, columns([["  region", "before", "predicted"], ...rows]));
          }),
          ...replayText(promise.parts),
          // That nothing was driven with these tables yet is no news here.
          block(
            "Could not",
            promise.couldNot.filter((what) => !what.startsWith("nothing was verified")).map((what) => wrapped(`- ${what}`, 4, 2)),
          ),
        ),
      };
    },
  );
}
