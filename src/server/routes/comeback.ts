import type { Hono } from "hono";
import type { ServerParts } from "../app.ts";
import { signatureView } from "../views/comeback.ts";

/** How a vehicle left, and how it is when it comes back. */
export function addComeback(app: Hono, { book, desk }: ServerParts): void {
  app.get("/api/jobs/:slug/signature", (context) => context.json(signatureView(book, context.req.param("slug"))));
  app.post("/api/jobs/:slug/signature", async (context) => {
    const slug = context.req.param("slug");
    await desk.ask(slug, { what: "signature" });
    return context.json(signatureView(book, slug), 201);
  });
  // `?from=JOB`: the earlier job to hold it against; left out, the newest on the same vehicle.
  app.get("/api/jobs/:slug/comeback", async (context) => {
    const from = context.req.query("from");
    return context.json(await desk.ask(context.req.param("slug"), { what: "comeback", ...(from === undefined ? {} : { from }) }));
  });
}
