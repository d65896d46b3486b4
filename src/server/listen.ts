import { randomBytes } from "node:crypto";
import type { AddressInfo } from "node:net";
import { fileURLToPath } from "node:url";
import { serve } from "@hono/node-server";
import type { Hono } from "hono";
import { UnusableInput } from "../base/index.ts";
import type { Book } from "../book/index.ts";
import { createApp } from "./app.ts";
import { type Desk, openDesk } from "./desk.ts";
import type { BookKind, Shelf } from "./shelf.ts";

export interface RunningBench {
  /** The address that opens the bench, token included. */
  readonly url: string;
  readonly port: number;
  close(): Promise<void>;
}

export interface BenchOptions {
  readonly port?: number;
  readonly webFolder?: string;
  readonly watchFolder?: string;
  /** Books that the bench may change between; left out: it stays on the one it was opened on. */
  readonly shelf?: Shelf;
}

/** Serves the bench on loopback only. @throws UnusableInput when the port is taken */
export async function openBench(book: Book, options: BenchOptions = {}): Promise<RunningBench> {
  const token = randomBytes(24).toString("base64url");
  const { shelf, watchFolder } = options;
  let port = 0;
  const webFolder = options.webFolder ?? fileURLToPath(new URL("../web", import.meta.url));
  // One book lies open at a time, with a desk of its own; the page's address and its token stay.
  const lay = (open: Book): { desk: Desk; app: Hono } => {
    const desk = openDesk(open.folder, open.by);
    return { desk, app: createApp({ book: open, desk, token, port: () => port, webFolder, watchFolder, shelf, ...(shelf === undefined ? {} : { change }) }) };
  };
  const change = async (kind: BookKind): Promise<void> => {
    if (shelf === undefined) return;
    const before = open;
    open = lay(shelf.take(kind));
    await before.desk.close();
  };
  let open = lay(book);
  const server = serve({ fetch: (request) => open.app.fetch(request), hostname: "127.0.0.1", port: options.port ?? 0 });
  await new Promise<void>((resolve, reject) => {
    server.once("listening", resolve);
    server.once("error", (error: NodeJS.ErrnoException) =>
      reject(
        error.code === "EADDRINUSE"
          ? new UnusableInput({ at: { file: `port ${options.port}` }, what: "Another program uses this port", do: "Leave --port out, or give another" })
          : error,
      ),
    );
  });
  port = (server.address() as AddressInfo).port;
  return {
    url: `http://127.0.0.1:${port}/?token=${token}`,
    port,
    async close() {
      await open.desk.close();
      await shelf?.close();
      await new Promise<void>((resolve) => {
        server.close(() => resolve());
        if ("closeAllConnections" in server) server.closeAllConnections();
      });
    },
  };
}
