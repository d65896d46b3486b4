import { existsSync, readFileSync, statSync } from "node:fs";
import { extname, join, normalize } from "node:path";
import { Hono } from "hono";
import { UnusableInput } from "../base/index.ts";
import type { Book } from "../book/index.ts";
import type { Desk } from "./desk.ts";
import { guard } from "./guard.ts";
import { addJobRoutes } from "./routes/index.ts";
import type { BookKind, Shelf } from "./shelf.ts";

export interface ServerParts {
  readonly book: Book;
  readonly desk: Desk;
  readonly token: string;
  readonly port: () => number;
  /** Folder of the built page. */
  readonly webFolder: string;
  /** Folder into which a logger writes, where it was named at the start. */
  readonly watchFolder?: string;
  /** Where the bench may change between books: the shelf, and how to change. */
  readonly shelf?: Shelf;
  readonly change?: (kind: BookKind) => Promise<void>;
}

/** The bench's server as a function from request to response; a listener or a test calls it. */
export function createApp(parts: ServerParts): Hono {
  const app = new Hono();
  app.use("*", guard(parts));
  app.onError((error, context) => {
    if (error instanceof UnusableInput) {
      const { at, what, do: action } = error.problem;
      return context.json({ problem: { what, do: action, at: at.file } }, 422);
    }
    const cancelled = error.message === "cancelled";
    return context.json({ problem: { what: cancelled ? "Cancelled." : `The bench stumbled: ${error.message}` } }, cancelled ? 409 : 500);
  });
  app.notFound((context) => context.json({ problem: { what: "There is nothing at this address." } }, 404));
  addJobRoutes(app, parts);
  app.get("*", (context) => serveFile(parts.webFolder, new URL(context.req.url).pathname) ?? context.notFound());
  return app;
}

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".svg": "image/svg+xml",
  ".woff2": "font/woff2",
  ".json": "application/json",
};

/** A file of the built page; nothing outside its folder is ever served. */
function serveFile(folder: string, pathname: string): Response | undefined {
  const path = normalize(join(folder, pathname === "/" ? "index.html" : decodeURIComponent(pathname)));
  if (!path.startsWith(normalize(`${folder}/`)) || !existsSync(path) || !statSync(path).isFile()) return undefined;
  const type = TYPES[extname(path)];
  if (type === undefined) return undefined;
  const isNamedByContent = pathname.startsWith("/assets/");
  return new Response(new Uint8Array(readFileSync(path)), {
    headers: { "content-type": type, "cache-control": isNamedByContent ? "public, max-age=31536000, immutable" : "no-cache" },
  });
}
