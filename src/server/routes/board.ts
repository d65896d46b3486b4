import { zValidator } from "@hono/zod-validator";
import type { Hono } from "hono";
import { z } from "zod";
import { createJob } from "../../book/index.ts";
import { beginAgain } from "../../desk/index.ts";
import type { ServerParts } from "../app.ts";
import { refuseBadBody } from "../body.ts";
import { boardView, jobView } from "../views/job.ts";
import { searchView } from "../views/search.ts";

const newJob = z.object({ title: z.string().trim().min(1).max(200), vehicle: z.string().max(200).optional(), again: z.string().max(64).optional() });

/** The board, a job as it stands, and beginning a job. */
export function addBoard(app: Hono, { book, shelf }: ServerParts): void {
  app.get("/api/board", (context) => context.json(boardView(book, shelf)));
  app.get("/api/search", (context) => context.json(searchView(book, context.req.query("for") ?? "")));
  app.get("/api/jobs/:slug", (context) => context.json(jobView(book, context.req.param("slug"))));
  app.post("/api/jobs", zValidator("json", newJob, refuseBadBody), (context) => {
    const { again, ...entry } = context.req.valid("json");
    const slug = again === undefined || again === "" ? createJob(book, entry) : beginAgain(book, again, entry);
    return context.json({ slug }, 201);
  });
}
