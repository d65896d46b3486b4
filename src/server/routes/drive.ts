import { zValidator } from "@hono/zod-validator";
import type { Hono } from "hono";
import { streamSSE } from "hono/streaming";
import { z } from "zod";
import type { GuideView, HeardView, WatchView } from "../../api/index.ts";
import { memoryOf, readJob } from "../../book/index.ts";
import type { ServerParts } from "../app.ts";
import { refuseBadBody } from "../body.ts";
import { addDwell, addVisits } from "../dwell.ts";
import { fileIn, follower, recordingsIn, watchedFolder } from "../follow.ts";
import { numbers } from "../views/analysis.ts";

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
  // Events `heard`, one a look while the recording grows. Without a file the newest one is followed, also when a newer one is begun.
  app.get("/api/jobs/:slug/follow", async (context) => {
    const slug = context.req.param("slug");
    const asked = context.req.query("file");
    const guide = await desk.ask(slug, { what: "guide" });
    const { state } = readJob(book, slug);
    const reading = { intake: state.intake, columns: memoryOf(book).columns };
    return streamSSE(context, async (stream) => {
      let listened: Listener | undefined;
      while (!stream.aborted && !stream.closed) {
        const name = asked ?? (folder === undefined ? undefined : recordingsIn(folder)[0]?.name);
        let heard: HeardView | undefined;
        try {
          if (folder !== undefined && name !== undefined) {
            if (listened?.name !== name) listened = listenTo(fileIn(folder, name), name, reading, guide);
            heard = listened.look();
          }
        } catch (error) {
          heard = { file: name ?? "", rows: 0, rpm: null, kpa: null, dwellS: [], visitS: [], says: error instanceof Error ? error.message : String(error) };
        }
        await stream.writeSSE({ event: "heard", data: JSON.stringify(heard ?? SILENT) });
        await stream.sleep(LOOK_EVERY_MS);
      }
    });
  });
}

const SILENT: HeardView = { file: "", rows: 0, rpm: null, kpa: null, dwellS: [], visitS: [], says: "Waiting for a recording to be begun in the folder." };

interface Listener {
  readonly name: string;
  look(): HeardView;
}

function listenTo(path: string, name: string, reading: Parameters<typeof follower>[1], guide: GuideView | null): Listener {
  const look = follower(path, reading);
  const axes = guide ?? { rpm: [0], kpa: [0] };
  const visits = guide?.visits ?? [];
  let dwellS = new Float64Array(axes.rpm.length * axes.kpa.length);
  let visitS = new Float64Array(visits.length);
  let [rpm, kpa] = [Number.NaN, Number.NaN];
  return {
    name,
    look() {
      const heard = look();
      if (heard.isAnew) [dwellS, visitS] = [new Float64Array(dwellS.length), new Float64Array(visitS.length)];
      addDwell(dwellS, axes, heard.places);
      addVisits(visitS, visits, axes, heard.places);
      const now = heard.places.at(-1);
      if (now !== undefined) [rpm, kpa] = [now.rpm, now.kpa];
      const [atRpm, atKpa] = numbers([rpm, kpa]) as [number | null, number | null];
      const says = heard.says === undefined ? {} : { says: heard.says };
      return { file: name, rows: heard.rows, rpm: atRpm, kpa: atKpa, dwellS: numbers(dwellS), visitS: [...visitS], ...says };
    },
  };
}
