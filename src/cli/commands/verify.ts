import type { Command } from "commander";
import { verifyJob } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { wholeOf } from "../parse.ts";
import { block, columns, page, wrapped } from "../text.ts";
import { meanText } from "../verified-text.ts";

export function addVerify(program: Command): void {
  bookCommand(
    program,
    {
      usage: "verify <job> [revision]",
      about: "Whether a revision did what it promised: predicted against what the next recording shows",
      args: { job: "short name of the job", revision: "left out: the newest that was driven" },
      examples: ["fettle verify wagon-rough-idle", "fettle verify wagon-rough-idle 1 --json"],
    },
    ({ book, args: [job, wanted] }) => {
      const verified = verifyJob(book, job!, wanted === undefined ? undefined : wholeOf(wanted, "revision"));
      if (verified === undefined)
        return { json: null, text: "No revision was driven yet. Bring a recording made on one: fettle add JOB DRIVE.csv --revision NUMBER\n" };
      const { revision, from, verification } = verified;
      return {
        json: { revision, from, ...verification },
        text: page(
          `Revision ${revision} against ${from === 0 ? "as received" : `revision ${from}`}: ${verification.verdict}.`,
          ...verification.tables.map((table) => {
            const rows = table.regions.map((region) => [
              `  ${region.name}`,
              ...[region.before, region.predicted, region.observed].map((each) => meanText(each.mean, table.unit)),
              region.verdict,
            ]);
            return block(`${table.role}: ${table.verdict}`, columns([["  region", "before", "predicted", "observed", ""], ...rows]));
          }),
          block(
            "Could not",
            verification.couldNot.map((what) => wrapped(`- ${what}`, 4, 2)),
          ),
        ),
      };
    },
  );
}
