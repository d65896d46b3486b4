import type { Command } from "commander";
import { jobSlugs, readJob } from "../../book/index.ts";
import { remeasureAfter } from "../../core/job/index.ts";
import { when } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { columns, counted, page } from "../text.ts";

export function addWaits(program: Command): void {
  bookCommand(
    program,
    { usage: "waits", about: "What waits for what, over all jobs, longest first", examples: ["fettle waits", "fettle waits --json"] },
    ({ book }) => {
      const waits = jobSlugs(book)
        .flatMap((job) =>
          readJob(book, job).state.waits.map((wait) => ({ job, ...wait, measureAgain: wait.fault === undefined ? [] : remeasureAfter(wait.fault) })),
        )
        .sort((a, b) => (a.since < b.since ? -1 : 1));
      const rows = waits.map((wait) => [
        wait.job,
        `${wait.number}`,
        wait.kind,
        when(wait.since),
        `${wait.what}${wait.until === undefined ? "" : `, until ${wait.until}`}${wait.fault === undefined ? "" : ` (mends ${wait.fault}; then ${counted(wait.measureAgain.length, "thing")} to measure again)`}`,
      ]);
      return { json: waits, text: rows.length === 0 ? "Nothing waits.\n" : page(columns(rows).join("\n")) };
    },
  );
}
