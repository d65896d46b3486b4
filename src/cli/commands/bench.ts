import type { Command } from "commander";
import { bookFolder, demoFolder, writer } from "../book-folder.ts";
import { orFail } from "../fail.ts";

interface BenchOptions {
  readonly book?: string;
  readonly port?: string;
  readonly demo?: boolean;
}

/** The bench is what `fettle` does when it is given no other command. */
export function addBench(program: Command): void {
  program
    .command("bench", { isDefault: true })
    .description("Open the bench in the browser on a shop book. This is what fettle does without a command.")
    .option("--book <folder>", 'the shop book; made when the folder is missing or empty (default: $FETTLE_BOOK, else "Fettle book" in your home folder)')
    .option("--demo", "open the demo book: five made-up vehicles; made where there is none yet")
    .option("--port <number>", "listen on this port instead of a free one")
    .addHelpText(
      "after",
      `
Examples:
  fettle
  fettle bench --demo
  fettle bench --book /media/stick/book

Without a book of your own yet, the demo book is opened; its page begins your own
with one click, and leads back. The demo lies in $FETTLE_DEMO_BOOK, else in
"Fettle demo book" beside your own.

The bench listens on this machine only and opens by the address that it prints. Stop it with Ctrl C.`,
    )
    .action((options: BenchOptions) => orFail(() => bench(options)));
}

async function bench(options: BenchOptions): Promise<void> {
  const own = bookFolder(options.book);
  const { openBench, shelfOf } = await import("../../server/index.ts");
  const shelf = shelfOf({ own, demo: demoFolder() }, writer(undefined));
  // A book that was named is meant; without one, a first start shows the demo.
  const isNamed = options.book !== undefined || process.env.FETTLE_BOOK !== undefined;
  const book = shelf.take(options.demo !== true && (isNamed || shelf.has("own")) ? "own" : "demo");
  const running = await openBench(book, { shelf, port: options.port === undefined ? undefined : Number(options.port) });
  process.stdout.write(`Book   ${book.folder}\nBench  ${running.url}\nStop it with Ctrl C.\n`);
  for (const signal of ["SIGINT", "SIGTERM"] as const) process.once(signal, () => void running.close().then(() => process.exit(0)));
}
