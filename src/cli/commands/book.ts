import type { Command } from "commander";
import { createBook } from "../../book/index.ts";
import { answering, describe, entered } from "../book-command.ts";
import { bookFolder, writer } from "../book-folder.ts";
import { addBookCheck } from "./book-check.ts";
import { addBookUnlock } from "./book-unlock.ts";

/** The shop book itself: making one, checking one. */
export function addBook(program: Command): void {
  const parent = program.command("book").description("Make a shop book, check one, or free one that is held");
  const create = describe(parent, {
    usage: "create [folder]",
    about: "Make a new shop book in a folder that is missing or empty",
    args: { folder: 'where (default: $FETTLE_BOOK, else "Fettle book" in your home folder)' },
    examples: ["fettle book create", "fettle book create /media/stick/book"],
    notes: "A book is a plain folder: carry it, sync it, back it up like any other.",
  });
  answering<{ readonly by?: string }>(create, ([folder], options) => {
    const book = createBook(bookFolder(folder), writer(options.by));
    return entered(`Made a shop book in ${book.folder}`, { folder: book.folder });
  });
  addBookCheck(parent);
  addBookUnlock(parent);
}
