import type { Command } from "commander";
import { formatProblem } from "../../base/index.ts";
import { importJob } from "../../book/index.ts";
import { bookCommand } from "../book-command.ts";
import { block, counted, page, wrapped } from "../text.ts";

const WAS = {
  new: "is new in this book",
  same: "was in this book already, entry for entry; nothing was changed",
  newer: "was in this book; its newer entries were added",
  older: "was in this book with newer entries; nothing was changed",
  parted: "went on here and there since they parted, and now lies beside the one in this book",
} as const;

export function addImport(program: Command): void {
  bookCommand(
    program,
    {
      usage: "import <file>",
      about: "Bring in a job that export wrote, byte for byte",
      args: { file: "the file that export wrote" },
      examples: ["fettle import /media/stick/wagon.tar.gz"],
    },
    async ({ book, args: [file] }) => {
      const brought = await importJob(book, file!);
      return {
        json: brought,
        text: page(
          wrapped(
            `${brought.slug}: "${brought.title}" ${WAS[brought.was]}. ${counted(brought.entries, "entry", "entries")}, ${counted(brought.files, "file")}.`,
          ),
          block(
            "Damage that came along:",
            brought.problems.map((problem) => wrapped(`- ${formatProblem(problem)}`, 2, 0)),
          ),
        ),
      };
    },
  );
}
