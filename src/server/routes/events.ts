import { zValidator } from "@hono/zod-validator";
import type { Hono } from "hono";
import { z } from "zod";
import { lastUndoable, readJob, recordBookEvent, recordJobEvent, STATIONS } from "../../book/index.ts";
import { ROLES, type Role } from "../../core/tables/index.ts";
import { nameTable } from "../../desk/index.ts";
import type { ServerParts } from "../app.ts";
import { refuseBadBody } from "../body.ts";
import { jobView } from "../views/job.ts";

const text = z.string().trim().min(1).max(10_000);
const cell = z.tuple([z.number().int().min(0), z.number().int().min(0)]);
const station = z.enum(STATIONS);

/** What the bench may write into a job's journal, by kind. Files and revisions have routes of their own. */
const EVENTS = {
  "job.renamed": z.object({ title: text }),
  "files.withdrawn": z.object({ paths: z.array(text).min(1) }),
  "intake.written": z.object({
    intake: z.looseObject({ engine: z.looseObject({ displacementL: z.number().positive(), cylinders: z.number().int().positive() }) }),
  }),
  "station.marked": z.object({ station, state: z.enum(["empty", "begun", "waiting", "done"]) }),
  "wait.began": z.object({
    kind: z.enum(["part", "customer", "drive", "dynamometer", "other"]),
    what: text,
    until: z.string().optional(),
    fault: z.string().optional(),
  }),
  "wait.ended": z.object({ began: z.number().int() }),
  "note.written": z.object({ text, station: station.optional() }),
  "test.observed": z.object({ test: text, outcome: text, value: z.number().optional() }),
  "finding.answered": z.object({ finding: text, answer: z.enum(["accepted", "disputed", "done"]) }),
  "change.decided": z.object({
    role: text,
    decision: z.enum(["accept", "hold", "edit"]),
    region: z.tuple([cell, cell]).optional(),
    cells: z.array(z.object({ row: z.number().int(), column: z.number().int(), value: z.number() })).optional(),
  }),
  "column.named": z.object({ file: text, column: text, signal: text }),
  "table.named": z.object({ table: text, role: z.enum([...(Object.keys(ROLES) as [Role, ...Role[]]), "none", "as-read"]) }),
  "checklist.ticked": z.object({ list: text, item: text, ticked: z.boolean() }),
  "controller.read": z.object({
    plan: text,
    method: text,
    supplyV: z.number().positive().max(60).optional(),
    fusesOut: z.string().max(500).optional(),
    connectors: z.string().max(500).optional(),
    oil: z.enum(["none", "traces", "wet"]).optional(),
    began: z.string().max(40).optional(),
    minutes: z.number().positive().optional(),
    who: z.string().max(200).optional(),
    remark: z.string().max(10_000).optional(),
  }),
  "time.logged": z.object({ minutes: z.number().positive(), what: text }),
  "part.used": z.object({ part: text, quantity: z.number().positive(), quality: z.string().optional(), price: z.number().optional() }),
} as const;

const entry = z.object({ kind: z.enum(Object.keys(EVENTS) as [keyof typeof EVENTS]), data: z.unknown(), why: z.string().max(10_000).optional() });

/** Entries into a job's journal, undo and redo; each answers with the job as it then stands. */
export function addEvents(app: Hono, { book, desk }: ServerParts): void {
  app.post("/api/jobs/:slug/events", zValidator("json", entry, refuseBadBody), async (context) => {
    const { kind, data, why: said } = context.req.valid("json");
    const checked = EVENTS[kind].safeParse(data);
    if (!checked.success) return refuseBadBody(checked, context)!;
    const slug = context.req.param("slug");
    const why = said === undefined || said.trim() === "" ? undefined : said;
    if (kind === "change.decided") {
      const { role: table, ...decision } = checked.data as z.infer<(typeof EVENTS)["change.decided"]>;
      await desk.ask(slug, { what: "decide", deciding: { table, ...decision }, why });
    } else if (kind === "table.named") {
      const { table, role } = checked.data as z.infer<(typeof EVENTS)["table.named"]>;
      nameTable(book, slug, table, role, why);
    } else recordJobEvent(book, slug, kind, checked.data as never, why);
    return context.json(jobView(book, slug));
  });
  app.post("/api/jobs/:slug/undo", (context) => {
    const slug = context.req.param("slug");
    const last = lastUndoable(readJob(book, slug).events);
    if (last !== undefined) recordJobEvent(book, slug, "undone", { number: last.number });
    return context.json(jobView(book, slug));
  });
  app.post("/api/jobs/:slug/redo", (context) => {
    const slug = context.req.param("slug");
    const newest = readJob(book, slug).events.at(-1);
    if (newest?.kind === "undone") recordJobEvent(book, slug, "undone", { number: newest.number });
    return context.json(jobView(book, slug));
  });
  const remembered = z.discriminatedUnion("kind", [
    z.object({ kind: z.literal("shop.named"), data: z.object({ name: text }) }),
    z.object({ kind: z.literal("units.preferred"), data: z.object({ quantity: text, unit: text }) }),
    z.object({ kind: z.literal("column.learned"), data: z.object({ column: text, signal: text }) }),
    z.object({ kind: z.literal("column.forgotten"), data: z.object({ column: text }) }),
    z.object({ kind: z.literal("checklist.written"), data: z.object({ name: text, text: z.string().max(100_000) }) }),
  ]);
  app.post("/api/book/events", zValidator("json", remembered, refuseBadBody), (context) => {
    const { kind, data } = context.req.valid("json");
    recordBookEvent(book, kind, data as never);
    return context.json({ done: true });
  });
}
