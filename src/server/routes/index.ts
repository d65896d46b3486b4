import type { Hono } from "hono";
import type { ServerParts } from "../app.ts";
import { addAnalysis } from "./analysis.ts";
import { addBoard } from "./board.ts";
import { addBook } from "./book.ts";
import { addComeback } from "./comeback.ts";
import { addDrive } from "./drive.ts";
import { addEvents } from "./events.ts";
import { addFilesRoute } from "./files.ts";
import { addRevisions } from "./revisions.ts";
import { addSamples } from "./samples.ts";

/** Every route of the bench, one file a subject. */
export function addJobRoutes(app: Hono, parts: ServerParts): void {
  for (const add of [addBoard, addBook, addEvents, addFilesRoute, addAnalysis, addSamples, addRevisions, addComeback, addDrive]) add(app, parts);
}
