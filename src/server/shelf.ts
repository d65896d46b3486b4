import { existsSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { Worker } from "node:worker_threads";
import type { MakingView } from "../api/index.ts";
import { type Book, type BookOptions, createBook, openBook } from "../book/index.ts";
import { beginDemoBook, isDemoBook, isDemoWhole } from "../demo/index.ts";

export type BookKind = "own" | "demo";

/** The two books that the bench may lay open: the person's own, and the demo. */
export interface Shelf {
  readonly folders: Readonly<Record<BookKind, string>>;
  has(kind: BookKind): boolean;
  /** Opens a book; one that is not there yet is made: the own one empty, the demo with its vehicles following while it lies open. */
  take(kind: BookKind): Book;
  /** What is under way on the demo book; undefined when nothing is. */
  making(): MakingView | undefined;
  close(): Promise<void>;
}

export function shelfOf(folders: Shelf["folders"], options: BookOptions): Shelf {
  let worker: Worker | undefined;
  let making: MakingView | undefined;

  const fill = (folder: string): void => {
    if (worker !== undefined) return;
    making = { text: "making the demo book", share: 0 };
    worker = new Worker(new URL("./demo-worker.js", import.meta.url), { workerData: { folder } });
    worker.on("message", (told: MakingView) => {
      making = told;
    });
    // A demo that could not be finished is no reason to stop: the next start goes on with it.
    worker.on("error", (error) => {
      making = { text: `the demo book could not be finished: ${error.message}`, share: 1 };
    });
    worker.on("exit", (status) => {
      worker = undefined;
      if (status === 0) making = undefined;
    });
    worker.unref();
  };

  return {
    folders,
    has: (kind) => existsSync(join(folders[kind], "book.json")),
    take(kind) {
      const folder = folders[kind];
      const isThere = existsSync(join(folder, "book.json"));
      if (!isThere) mkdirSync(folder, { recursive: true });
      if (!isThere && kind === "own") createBook(folder, options);
      if (!isThere && kind === "demo") beginDemoBook(folder, options.now().slice(0, 10));
      const book = openBook(folder, options);
      if (isDemoBook(book) && !isDemoWhole(book)) fill(folder);
      return book;
    },
    making: () => making,
    async close() {
      await worker?.terminate();
    },
  };
}
