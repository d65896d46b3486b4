import { zValidator } from "@hono/zod-validator";
import type { Hono } from "hono";
import { z } from "zod";
import { UnusableInput } from "../../base/index.ts";
import type { ServerParts } from "../app.ts";
import { refuseBadBody } from "../body.ts";

/** Changing between the person's own book and the demo. */
export function addBook(app: Hono, { change }: ServerParts): void {
  app.post("/api/book/open", zValidator("json", z.object({ which: z.enum(["own", "demo"]) }), refuseBadBody), async (context) => {
    if (change === undefined)
      throw new UnusableInput({ at: { file: "bench" }, what: "This bench was opened on one book", do: "Start it without --book to change between books" });
    await change(context.req.valid("json").which);
    return context.json({ done: true });
  });
}
