import { zValidator } from "@hono/zod-validator";
import type { Hono } from "hono";
import { streamSSE } from "hono/streaming";
import { z } from "zod";
import type { WatchView } from "../../api/index.ts";
import { memoryOf, readJob } from "../../book/index.ts";
import type { ServerParts } from "../app.ts";
import { refuseBadBody } from "../body.ts";
import { listenToDrive } from "../drive-listener.ts";
import { recordingsIn, watchedFolder } from "../follow.ts";

const LOOK_EVERY_MS = 500;

/** The drive guide, and the recording that is followed while the logger writes it. */
export function addDrive(app: Hono, { book, desk, watchFolder }: ServerParts): void {
  // The folder lives as long as the server: it is named at the start, or once on the page before driving.
  let folder = watchFolder === undefined ? undefined : watchedFolder(watchFolder);
  const watch = (): WatchView => ({ folder: folder ?? null, files: folder === undefined ? [] : recordingsIn(folder) });

  app.get("/api/jobs/:slug/guide", async (context) => context.json(await desk.ask(context.req.param("slug"), { what: "guide" })));
  app.get("/api/watch", (context) => context.json(watch()));
  app.post("/api/watch", zValidator("json", z.object({ folder: z.string().trim().min(1).max(4000) }), refuseBadBody), (context) => {
    folder = watchedFolder(context.req.valid("json").folder);
    return context.json(watch());
  });
  // Events `heard`, one a look while the recording grows. Without a file whatever grows from now on is followed.
  app.get("/api/jobs/:slug/follow", async (context) => {
    const slug = context.req.param("slug");
    const guide = await desk.ask(slug, { what: "guide" });
    const { state } = readJob(book, slug);
    const reading = { intake: state.intake, columns: memoryOf(book).columns };
    return streamSSE(context, async (stream) => {
      const listener = listenToDrive({ folder: () => folder, file: context.req.query("file"), reading, guide });
      while (!stream.aborted && !stream.closed) {
        await stream.writeSSE({ event: "heard", data: JSON.stringify(listener.look(Date.now())) });
        await stream.sleep(LOOK_EVERY_MS);
      }
    });
  });
}
