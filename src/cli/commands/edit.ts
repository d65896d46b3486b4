import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { decideOn } from "../../desk/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { cellEditOf } from "../parse.ts";
import { counted } from "../text.ts";

export function addEdit(program: Command): void {
  enteringCommand(
    program,
    {
      usage: "edit <job> <table> <cells...>",
      about: "Set cells of a table by hand",
      args: {
        job: "short name of the job",
        table: "role or title of the table",
        cells: "ROW,COLUMN=VALUE, counted from zero, in the table's unit as correct and why show it",
      },
      examples: ['fettle edit wagon-rough-idle air.ve 3,4=61.5 3,5=62 --why "smoother than the fit"'],
      notes: "Give a reason: why will tell it for as long as the book lives.",
    },
    ({ book, args: [job, table, ...cells], options }) => {
      if (cells.length === 0) throw new UnusableInput({ at: { file: table! }, what: "No cell was given", do: "Give cells as in 3,4=61.5" });
      decideOn(book, job!, { table: table!, decision: "edit", cells: cells.map(cellEditOf) }, options.why);
      return entered(`Set ${counted(cells.length, "cell")} of ${table}. When all is decided: fettle revise ${job} NAME`);
    },
  );
}
