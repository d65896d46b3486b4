import type { Command } from "commander";
import { recordJobEvent } from "../../book/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { positiveOf } from "../parse.ts";

interface PartOptions {
  readonly quantity: string;
  readonly quality?: string;
  readonly price?: string;
}

export function addPart(program: Command): void {
  enteringCommand<PartOptions>(
    program,
    {
      usage: "part <job> <part...>",
      about: "Enter a part that was fitted",
      args: { job: "short name of the job", part: "the part, in words" },
      examples: ['fettle part wagon-rough-idle throttle body gasket --quantity 1 --quality "original maker" --price 12.50'],
    },
    ({ book, args: [job, ...part], options }) => {
      const quality = options.quality === undefined ? {} : { quality: options.quality };
      const price = options.price === undefined ? {} : { price: positiveOf(options.price, "--price") };
      recordJobEvent(
        book,
        job!,
        "part.used",
        { part: part.join(" "), quantity: positiveOf(options.quantity, "--quantity"), ...quality, ...price },
        options.why,
      );
      return entered(`${options.quantity} × ${part.join(" ")}.`);
    },
  )
    .option("--quantity <number>", "how many", "1")
    .option("--quality <words>", "which quality of part")
    .option("--price <number>", "price of one");
}
