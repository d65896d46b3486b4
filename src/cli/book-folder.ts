import { homedir, userInfo } from "node:os";
import { dirname, join } from "node:path";
import { type Book, openBook } from "../book/index.ts";

/** The folder of the shop book: as asked for, else as the environment says, else in the home folder. */
export function bookFolder(asked: string | undefined): string {
  return asked ?? process.env.FETTLE_BOOK ?? join(homedir(), "Fettle book");
}

/** The folder of the demo book: as the environment says, else beside the person's own. */
export function demoFolder(): string {
  return process.env.FETTLE_DEMO_BOOK ?? join(dirname(bookFolder(undefined)), "Fettle demo book");
}

/** Who writes and when. */
export function writer(by: string | undefined): { readonly by: string; readonly now: () => string } {
  return { by: by ?? process.env.FETTLE_BY ?? userName(), now: () => new Date().toISOString() };
}

/** @throws UnusableInput when there is no book in the folder */
export function openedBook(options: { readonly book?: string; readonly by?: string }): Book {
  return openBook(bookFolder(options.book), writer(options.by));
}

function userName(): string {
  try {
    return userInfo().username;
  } catch {
    return "somebody"; // An account without a name, as in some containers.
  }
}
