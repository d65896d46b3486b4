import type { Command } from "commander";
import { breakLock } from "../../book/index.ts";
import { bookCommand, entered } from "../book-command.ts";

export function addBookUnlock(parent: Command): void {
  bookCommand(
    parent,
    {
      usage: "unlock",
      about: "Free a book that a machine which is gone still holds",
      examples: ["fettle book unlock", "fettle book unlock --book /media/stick/book"],
      notes: `A process of this machine that is gone frees the book by itself; this is for a
lock that came with a copied or synced folder. Be sure that nobody writes there:
two writers at once spoil a journal.`,
    },
    ({ book }) => {
      const owner = breakLock(book.folder);
      if (owner === undefined) return entered("Nobody holds the book.", { freed: null });
      return entered(`Freed. It was held by ${owner.user} on ${owner.host} since ${owner.since}.`, { freed: owner });
    },
  );
}
