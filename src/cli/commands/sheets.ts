import type { Command } from "commander";
import { exportRevision } from "../../desk/index.ts";
import { bookCommand, entered } from "../book-command.ts";
import { wholeOf } from "../parse.ts";
import { counted } from "../text.ts";
import { writeFiles } from "../write-files.ts";

export function addSheets(program: Command): void {
  bookCommand<{ readonly out: string }>(
    program,
    {
      usage: "sheets <job> <revision>",
      about: "Write the table sheets of a revision into a folder, ready to be taken back",
      args: { job: "short name of the job", revision: "its number; 0 is the calibration as received" },
      examples: ["fettle sheets wagon-rough-idle 1 --out to-flash"],
    },
    ({ book, args: [job, revision], options }) => {
      const files = exportRevision(book, job!, wholeOf(revision!, "revision"));
      writeFiles(
        options.out,
        files.map(({ path, bytes }) => ({ path, content: bytes })),
      );
      return entered(`${counted(files.length, "sheet")} in ${options.out}`, { folder: options.out, sheets: files.map((file) => file.path) });
    },
  ).requiredOption("--out <folder>", "where the sheets go");
}
