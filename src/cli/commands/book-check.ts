import type { Command } from "commander";
import { formatProblem, type Problem } from "../../base/index.ts";
import { checkBook, isSound } from "../../book/index.ts";
import { bookCommand } from "../book-command.ts";
import { block, counted, page, wrapped } from "../text.ts";

export function addBookCheck(parent: Command): void {
  bookCommand(
    parent,
    {
      usage: "check",
      about: "Read every entry and every kept file of the book and hold it to its sum; change nothing",
      examples: ["fettle book check", "fettle book check --book /media/stick/book --json"],
      notes: "Exit status: 0 sound; 1 something is damaged or missing, which is listed; 2 wrong usage.",
    },
    ({ book, progress }) => {
      const check = checkBook(book, { onProgress: progress.step });
      const listed = (heading: string, problems: readonly Problem[]): string =>
        block(
          heading,
          problems.map((problem) => wrapped(`- ${formatProblem(problem)}`, 2, 0)),
        );
      return {
        json: check,
        isBad: !isSound(check),
        text: page(
          wrapped(
            `${counted(check.jobs, "job")}, ${counted(check.entries, "entry", "entries")}, ${counted(check.files, "file")} (${(check.bytes / 1e6).toFixed(1)} MB): ${
              isSound(check) ? "all whole." : "not all whole."
            }`,
          ),
          listed("Damaged:", check.damaged),
          listed("Missing:", check.missing),
          listed("Left over, no harm:", check.leftOver),
        ),
      };
    },
  );
}
