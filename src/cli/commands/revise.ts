import type { Command } from "commander";
import { exportRevision, makeRevision } from "../../desk/index.ts";
import { enteringCommand } from "../book-command.ts";
import { counted, page, wrapped } from "../text.ts";
import { writeFiles } from "../write-files.ts";

export function addRevise(program: Command): void {
  enteringCommand<{ readonly out?: string }>(
    program,
    {
      usage: "revise <job> <name...>",
      about: "Make a revision: the newest one, or the calibration as received, with all decisions since",
      args: { job: "short name of the job", name: "what the revision is called" },
      examples: [
        'fettle revise wagon-rough-idle "first drive" --why "VE and meter from the drive of the 25th"',
        'fettle revise wagon-rough-idle "second drive" --out to-flash',
      ],
      notes: `Sheets that did not change stay as they came, byte for byte. Fettle never writes to a vehicle: bring the
sheets back with the tool that read them, on a battery charger, engine off.`,
    },
    ({ book, args: [job, ...name], options }) => {
      const revision = makeRevision(book, job!, name.join(" "), options.why);
      const changed = revision.tables.filter((table) => table.changed.length > 0);
      if (options.out !== undefined)
        writeFiles(
          options.out,
          exportRevision(book, job!, revision.number).map(({ path, bytes }) => ({ path, content: bytes })),
        );
      return {
        json: revision,
        text: page(
          `Revision ${revision.number}, ${revision.name}: ${counted(changed.length, "table")} changed.`,
          changed
            .map((table) =>
              wrapped(
                `${table.role ?? table.title}: ${counted(table.changed.length, "cell")}. ${table.reasons.map((reason) => reason.replace(/[.]$/, "")).join("; ")}`,
                4,
                2,
              ),
            )
            .join("\n"),
          options.out === undefined ? `Take the sheets: fettle sheets ${job} ${revision.number} --out FOLDER` : `Sheets in ${options.out}`,
        ),
      };
    },
  ).option("--out <folder>", "write the sheets there as well");
}
