import type { Command } from "commander";
import { formatProblem } from "../../base/index.ts";
import { exportJob } from "../../book/index.ts";
import { bookCommand } from "../book-command.ts";
import { block, counted, page, wrapped } from "../text.ts";

export function addExport(program: Command): void {
  bookCommand<{ readonly out?: string }>(
    program,
    {
      usage: "export <job>",
      about: "Write a whole job as one file, for another book, a colleague or an archive",
      args: { job: "short name of the job" },
      examples: ["fettle export wagon-rough-idle", "fettle export wagon-rough-idle --out /media/stick/wagon.tar.gz"],
    },
    async ({ book, args: [job], options }) => {
      const written = await exportJob(book, job!, options.out ?? `${job}.tar.gz`);
      return {
        json: written,
        text: page(
          `${written.path}: ${counted(written.files, "file")}, ${(written.bytes / 1e6).toFixed(1)} MB`,
          block(
            "Damage that travels along:",
            written.problems.map((problem) => wrapped(`- ${formatProblem(problem)}`, 2, 0)),
          ),
        ),
      };
    },
  ).option("--out <file>", "where it goes (default: named after the job, in this folder)");
}
