import { existsSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import type { Command } from "commander";
import { createBook, openBook } from "../../book/index.ts";
import { bookFolder, writer } from "../book-folder.ts";
import { orFail } from "../fail.ts";

interface BenchOptions {
  readonly book?: string;
  readonly port?: string;
}

/** The bench is what `fettle` does when it is given no other command. */
export function addBench(program: Command): void {
  program
    .command("bench", { isDefault: true })
    .description("Open the bench in the browser on a shop book. This is what fettle does without a command.")
    .option("--book <folder>", 'the shop book; made when the folder is missing or empty (default: $FETTLE_BOOK, else "Fettle book" in your home folder)')
    .option("--port <number>", "listen on this port instead of a free one")
    .addHelpText(
      "after",
      `
Examples:
  fettle
  fettle bench --book /media/stick/book

The bench listens on this machine only and opens by the address that it prints. Stop it with Ctrl C.`,
    )
    .action((options: BenchOptions) => orFail(() => bench(options)));
}

async function bench(options: BenchOptions): Promise<void> {
  const folder = bookFolder(options.book);
  const who = writer(undefined);
  if (!existsSync(join(folder, "book.json"))) {
    mkdirSync(folder, { recursive: true });
    createBook(folder, who);
  }
  const book = openBook(folder, who);
  const { openBench } = await import("../../server/index.ts");
  const running = await openBench(book, { port: options.port === undefined ? undefined : Number(options.port) });
  process.stdout.write(`Book   ${book.folder}\nBench  ${running.url}\nStop it with Ctrl C.\n`);
  for (const signal of ["SIGINT", "SIGTERM"] as const) process.once(signal, () => void running.close().then(() => process.exit(0)));
}
