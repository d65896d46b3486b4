import { zValidator } from "@hono/zod-validator";
import type { Context, Hono } from "hono";
import { z } from "zod";
import { UnusableInput } from "../../base/index.ts";
import { type Side, TAKE_AWAY } from "../../desk/index.ts";
import type { ServerParts } from "../app.ts";
import { refuseBadBody } from "../body.ts";
import { jobView } from "../views/job.ts";

const newRevision = z.object({ name: z.string().trim().min(1).max(200), why: z.string().max(10_000).optional() });

/** Making a revision, taking its sheets away, comparing two, and asking how a cell came to its value. */
export function addRevisions(app: Hono, { book, desk }: ServerParts): void {
  app.post("/api/jobs/:slug/revisions", zValidator("json", newRevision, refuseBadBody), async (context) => {
    const slug = context.req.param("slug");
    const { name, why } = context.req.valid("json");
    await desk.ask(slug, { what: "revise", name, why: why === undefined || why.trim() === "" ? undefined : why });
    return context.json(jobView(book, slug), 201);
  });
  app.get("/api/jobs/:slug/revisions/:number", async (context) => {
    const slug = context.req.param("slug");
    const revision = whole("revision", context.req.param("number"));
    const take = TAKE_AWAY.find((name) => name === context.req.query("take")) ?? "sheets";
    const bytes = await desk.ask(slug, { what: "sheets", revision, take });
    const name = `${slug}-revision-${revision}${take === "sheets" ? "" : `-${take}`}.zip`;
    return new Response(bytes as Uint8Array<ArrayBuffer>, {
      headers: { "content-type": "application/zip", "content-disposition": `attachment; filename="${name}"` },
    });
  });
  app.get("/api/jobs/:slug/verification", async (context) => {
    const revision = context.req.query("revision");
    return context.json(
      await desk.ask(context.req.param("slug"), { what: "verify", ...(revision === undefined ? {} : { revision: whole("revision", revision) }) }),
    );
  });
  // `?of=asked`: as if everything that is asked for were accepted.
  app.get("/api/jobs/:slug/promise", async (context) => {
    const of = context.req.query("of") === "asked" ? "asked" : "decided";
    return context.json(await desk.ask(context.req.param("slug"), { what: "promise", of }));
  });
  app.get("/api/jobs/:slug/compare", async (context) => {
    const [from, to] = [side(context, "from"), side(context, "to")];
    return context.json(await desk.ask(context.req.param("slug"), { what: "compare", from, to }));
  });
  app.get("/api/jobs/:slug/changed", async (context) => {
    const [from, to] = [side(context, "from"), side(context, "to")];
    return context.json(await desk.ask(context.req.param("slug"), { what: "changed", from, to }));
  });
  app.get("/api/jobs/:slug/why", async (context) => {
    const [row, column] = [whole("row", context.req.query("row")), whole("column", context.req.query("column"))];
    return context.json(await desk.ask(context.req.param("slug"), { what: "why", table: context.req.query("table") ?? "", row, column }));
  });
}

function side(context: Context, name: string): Side {
  const text = context.req.query(name);
  return text === "factory" ? text : whole(name, text);
}

function whole(name: string, text: string | undefined): number {
  if (text !== undefined && /^\d{1,6}$/.test(text)) return Number(text);
  throw new UnusableInput({ at: { file: name }, what: `"${text ?? ""}" is no whole number`, do: "Give one, counted from zero" });
}
