import { Worker } from "node:worker_threads";
import { UnusableInput } from "../base/index.ts";
import type { Answers, Ask, DeskReply } from "./asks.ts";

export interface Progress {
  readonly text: string;
  readonly share: number;
}

/** The heavy work, away from the server's own thread: reading, fitting, thinning. One worker; a cancel ends it and begins another. */
export interface Desk {
  ask<A extends Ask>(slug: string, ask: A, onProgress?: (progress: Progress) => void): Promise<Answers[A["what"]]>;
  /** Stops whatever is under way. Asks that were waiting fail with a word that they were cancelled. */
  cancel(): Promise<void>;
  close(): Promise<void>;
}

interface Waiting {
  resolve(answer: unknown): void;
  reject(error: Error): void;
  readonly onProgress: (progress: Progress) => void;
}

/** @param by  whose name stands under what the desk enters */
export function openDesk(bookFolder: string, by: string): Desk {
  let waiting = new Map<number, Waiting>();
  let next = 1;
  let worker: Worker | undefined;

  const started = (): Worker => {
    if (worker !== undefined) return worker;
    const made = new Worker(new URL("./desk-worker.js", import.meta.url), { workerData: { bookFolder, by } });
    made.on("message", (reply: DeskReply) => {
      const asked = waiting.get(reply.id);
      if (asked === undefined) return;
      if (reply.kind === "progress") return asked.onProgress(reply);
      waiting.delete(reply.id);
      if (reply.kind === "answer") asked.resolve(reply.answer);
      else asked.reject(reply.problem === undefined ? new Error(reply.what) : new UnusableInput(reply.problem));
    });
    made.on("error", (error) => fail(error));
    made.unref();
    worker = made;
    return made;
  };
  const fail = (error: Error): void => {
    for (const asked of waiting.values()) asked.reject(error);
    waiting = new Map();
    worker = undefined;
  };
  const stop = async (): Promise<void> => {
    const old = worker;
    fail(new Error("cancelled"));
    await old?.terminate();
  };
  return {
    ask(slug, ask, onProgress = () => {}) {
      const id = next++;
      return new Promise((resolve, reject) => {
        waiting.set(id, { resolve: resolve as (answer: unknown) => void, reject, onProgress });
        started().postMessage({ id, slug, ask });
      });
    },
    cancel: stop,
    close: stop,
  };
}
