import type { Hono } from "hono";
import { UnusableInput } from "../../base/index.ts";
import { addFiles } from "../../book/index.ts";
import type { ServerParts } from "../app.ts";
import { jobView } from "../views/job.ts";

const MOST_BYTES = 400 * 1024 * 1024;
const FOLDERS = ["calibration/as-received/", "calibration/reference/", "recordings/", "pulls/", "attachments/"];

/** Bringing files: what a file is, as far as its bytes tell; and keeping it under the path that the person agreed to. */
export function addFilesRoute(app: Hono, { book, desk }: ServerParts): void {
  app.post("/api/look", async (context) => {
    const name = context.req.query("name") ?? "file";
    return context.json(await desk.ask("", { what: "look", name, bytes: await bodyOf(context.req.raw) }));
  });
  app.put("/api/jobs/:slug/files", async (context) => {
    const path = context.req.query("path") ?? "";
    const isKnown = path === "intake.json" || FOLDERS.some((folder) => path.startsWith(folder) && path.length > folder.length);
    if (!isKnown || path.split("/").some((part) => part === "" || part === "." || part === ".."))
      throw new UnusableInput({ at: { file: path }, what: "A job has no place of that name", do: `Put it under one of ${FOLDERS.join(", ")}` });
    const revision = context.req.query("revision");
    const bytes = await bodyOf(context.req.raw);
    addFiles(book, context.req.param("slug"), [{ path, bytes, ...(revision === undefined ? {} : { revision: Number(revision) }) }]);
    return context.json(jobView(book, context.req.param("slug")));
  });
  // Once the files of a drop are kept: their recordings are laid down as columns, for any program that reads Parquet.
  app.post("/api/jobs/:slug/columns", async (context) => context.json(await desk.ask(context.req.param("slug"), { what: "lay-down" })));
}

async function bodyOf(request: Request): Promise<Uint8Array> {
  const bytes = new Uint8Array(await request.arrayBuffer());
  if (bytes.length > MOST_BYTES)
    throw new UnusableInput({ at: { file: "upload" }, what: "The file is larger than 400 MB", do: "Cut the recording into parts" });
  return bytes;
}
