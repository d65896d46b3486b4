import type { Hono } from "hono";
import { streamSSE } from "hono/streaming";
import { costsCsv, readJob } from "../../book/index.ts";
import type { ServerParts } from "../app.ts";

/** The analysis of a job, told while it is made; reports; and cancelling. */
export function addAnalysis(app: Hono, { desk, book }: ServerParts): void {
  // Events: `progress` while the work goes on, then one `answer` or one `problem`.
  app.get("/api/jobs/:slug/analysis", (context) =>
    streamSSE(context, async (stream) => {
      const send = (event: string, data: unknown): Promise<void> => stream.writeSSE({ event, data: JSON.stringify(data) });
      try {
        const answer = await desk.ask(context.req.param("slug"), { what: "analyse" }, (progress) => void send("progress", progress));
        await send("answer", answer);
      } catch (error) {
        await send("problem", { what: error instanceof Error ? error.message : String(error) });
      }
    }),
  );
  app.post("/api/cancel", async (context) => {
    await desk.cancel();
    return context.json({ done: true });
  });
  app.get("/api/jobs/:slug/pulls", async (context) => {
    const units = context.req.query("units") === "imperial" ? "imperial" : "metric";
    return context.json(await desk.ask(context.req.param("slug"), { what: "pulls", units }));
  });
  app.get("/api/jobs/:slug/costs", (context) => {
    const slug = context.req.param("slug");
    context.header("content-type", "text/csv; charset=utf-8");
    context.header("content-disposition", `attachment; filename="${slug}-costs.csv"`);
    return context.body(costsCsv([readJob(book, slug).state]));
  });
  app.get("/api/jobs/:slug/report", async (context) => {
    const kind = context.req.query("kind");
    const units = context.req.query("units") === "imperial" ? "imperial" : "metric";
    const page = await desk.ask(context.req.param("slug"), { what: "report", kind: kind === "owner" || kind === "workshop" ? kind : "job", units });
    return context.html(page);
  });
}
