import type { Command } from "commander";
import { whyCell } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { cellOf } from "../parse.ts";
import { page, wrapped } from "../text.ts";

export function addWhy(program: Command): void {
  bookCommand(
    program,
    {
      usage: "why <job> <table> <cell>",
      about: "How a cell came to its value: factory, as received, every decision and revision, who, when and why",
      args: { job: "short name of the job", table: "role or title of the table", cell: "ROW,COLUMN, counted from zero" },
      examples: ["fettle why wagon-rough-idle air.ve 3,4"],
    },
    ({ book, args: [job, table, cell] }) => {
      const lines = whyCell(book, job!, table!, ...cellOf(cell!));
      return { json: lines, text: page(lines.map((line) => wrapped(line, 4, 0)).join("\n")) };
    },
  );
}
