import { randomBytes } from "node:crypto";
import type { AddressInfo } from "node:net";
import { fileURLToPath } from "node:url";
import { serve } from "@hono/node-server";
import { UnusableInput } from "../base/index.ts";
import type { Book } from "../book/index.ts";
import { createApp } from "./app.ts";
import { openDesk } from "./desk.ts";

export interface RunningBench {
  /** The address that opens the bench, token included. */
  readonly url: string;
  readonly port: number;
  close(): Promise<void>;
}

/** Serves the bench on loopback only. @throws UnusableInput when the port is taken */
export async function openBench(
  book: Book,
  options: { readonly port?: number; readonly webFolder?: string; readonly watchFolder?: string } = {},
): Promise<RunningBench> {
  const token = randomBytes(24).toString("base64url");
  const desk = openDesk(book.folder, book.by);
  let port = 0;
  const webFolder = options.webFolder ?? fileURLToPath(new URL("../web", import.meta.url));
  const app = createApp({ book, desk, token, port: () => port, webFolder, watchFolder: options.watchFolder });
  const server = serve({ fetch: app.fetch, hostname: "127.0.0.1", port: options.port ?? 0 });
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
      await desk.close();
      await new Promise<void>((resolve) => {
        server.close(() => resolve());
        if ("closeAllConnections" in server) server.closeAllConnections();
      });
    },
  };
}
