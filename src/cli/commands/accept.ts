import type { Command } from "commander";
import { decideOn } from "../../desk/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { regionOf } from "../parse.ts";

export function addAccept(program: Command): void {
  enteringCommand<{ readonly region?: string }>(
    program,
    {
      usage: "accept <job> <table>",
      about: "Take what the recordings ask for: the whole table, or a region of it",
      args: { job: "short name of the job", table: "role or title of the table, or an unmistakable part of either" },
      examples: ["fettle accept wagon-rough-idle air.ve", 'fettle accept wagon-rough-idle air.ve --region 0,0:3,9 --why "idle and light load"'],
      notes: "The proposal is kept as it stands: later recordings do not change what was accepted.",
    },
    ({ book, args: [job, table], options }) => {
      const region = options.region === undefined ? undefined : regionOf(options.region);
      decideOn(book, job!, { table: table!, decision: "accept", region }, options.why);
      return entered(`Accepted: ${table}${options.region === undefined ? "" : `, cells ${options.region}`}. When all is decided: fettle revise ${job} NAME`);
    },
  ).option("--region <cells>", "first and last cell as ROW,COLUMN:ROW,COLUMN, counted from zero, top left first");
}
