import type { Command } from "commander";
import { MEASURES } from "../../core/comeback/index.ts";
import { keepSignature } from "../../desk/index.ts";
import { enteringCommand } from "../book-command.ts";
import { digits } from "../suspect-text.ts";
import { block, columns, page, wrapped } from "../text.ts";

export function addSignature(program: Command): void {
  enteringCommand(
    program,
    {
      usage: "signature <job>",
      about: "Keep how the vehicle leaves, from its last drive: residuals, idle air, trims, cranking, slip",
      args: { job: "short name of the job" },
      examples: ["fettle signature wagon-rough-idle"],
      notes: wrapped("When the vehicle comes back, open a job for it under the same vehicle, add a new drive, and ask: fettle comeback JOB"),
    },
    ({ book, args: [job], options }) => {
      const { revision, signature, undriven } = keepSignature(book, job!, options.why);
      const rows = signature.measures.map((kept) => {
        const { title, unit } = MEASURES.find((measure) => measure.id === kept.id)!;
        return [`  ${title}`, `${digits(kept.value)} ${unit}`, `scatter ${digits(kept.scatter)} over ${kept.spells}`];
      });
      return {
        json: { revision, signature, undriven },
        text: page(
          wrapped(
            `Kept how the vehicle leaves on ${revision === 0 ? "its tables as received" : `revision ${revision}`}: ${signature.residuals.length} residuals by region of operation, and`,
          ),
          columns(rows).join("\n"),
          undriven === undefined
            ? ""
            : wrapped(
                `Revision ${undriven} was made since and never driven. If it leaves in the vehicle, drive it first, add the recording, and keep this again.`,
              ),
          block(
            "Could not",
            signature.couldNot.map((what) => wrapped(`- ${what}`, 4, 2)),
          ),
        ),
      };
    },
  );
}
