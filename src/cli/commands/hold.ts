import type { Command } from "commander";
import { decideOn } from "../../desk/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { regionOf } from "../parse.ts";

export function addHold(program: Command): void {
  enteringCommand<{ readonly region?: string }>(
    program,
    {
      usage: "hold <job> <table>",
      about: "Keep the value before: the whole table, or a region of it",
      args: { job: "short name of the job", table: "role or title of the table, or an unmistakable part of either" },
      examples: ["fettle hold wagon-rough-idle air.ve", 'fettle hold wagon-rough-idle air.ve --region 0,0:3,9 --why "idle and light load"'],
      notes: "A held region goes back to the newest revision, also where it was accepted or edited since.",
    },
    ({ book, args: [job, table], options }) => {
      const region = options.region === undefined ? undefined : regionOf(options.region);
      decideOn(book, job!, { table: table!, decision: "hold", region }, options.why);
      return entered(`Held: ${table}${options.region === undefined ? "" : `, cells ${options.region}`}. When all is decided: fettle revise ${job} NAME`);
    },
  ).option("--region <cells>", "first and last cell as ROW,COLUMN:ROW,COLUMN, counted from zero, top left first");
}
