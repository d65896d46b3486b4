import type { Hono } from "hono";
import { UnusableInput } from "../../base/index.ts";
import type { ServerParts } from "../app.ts";

const WIDEST = 8000;

/** Samples as the screen can show them: windows of traces and points of the operating map, as Float32 blocks. */
export function addSamples(app: Hono, { desk }: ServerParts): void {
  app.get("/api/jobs/:slug/recordings/:index/window", async (context) => {
    const number = (name: string): number => finite(name, context.req.query(name));
    const bytes = await desk.ask(context.req.param("slug"), {
      what: "window",
      recording: finite("index", context.req.param("index")),
      signals: (context.req.query("signals") ?? "").split(",").filter((signal) => signal !== ""),
      fromS: number("from"),
      toS: number("to"),
      width: Math.min(WIDEST, Math.max(1, Math.round(number("width")))),
    });
    return blocks(bytes);
  });
  app.get("/api/jobs/:slug/recordings/:index/statistics", async (context) => {
    const at = context.req.query("at");
    const views = await desk.ask(context.req.param("slug"), {
      what: "statistics",
      recording: finite("index", context.req.param("index")),
      signals: (context.req.query("signals") ?? "").split(",").filter((signal) => signal !== ""),
      fromS: finite("from", context.req.query("from")),
      toS: finite("to", context.req.query("to")),
      atS: at === undefined ? undefined : finite("at", at),
    });
    return context.json(views);
  });
  app.get("/api/jobs/:slug/recordings/:index/map", async (context) => {
    const bytes = await desk.ask(context.req.param("slug"), {
      what: "map",
      recording: finite("index", context.req.param("index")),
      colour: context.req.query("colour") ?? "fuelResidual",
      most: Math.min(200_000, Math.max(100, finite("most", context.req.query("most") ?? "20000"))),
    });
    return blocks(bytes);
  });
}

function finite(name: string, text: string | undefined): number {
  const value = Number(text);
  if (text === undefined || !Number.isFinite(value)) throw new UnusableInput({ at: { file: name }, what: `"${text ?? ""}" is no number`, do: "Give a number" });
  return value;
}

function blocks(bytes: Uint8Array): Response {
  return new Response(bytes as Uint8Array<ArrayBuffer>, { headers: { "content-type": "application/octet-stream", "cache-control": "no-store" } });
}
