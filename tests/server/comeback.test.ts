import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { ComebackView, SignatureView } from "../../src/api/index.ts";
import { addFiles, createBook, createJob } from "../../src/book/index.ts";
import { createApp } from "../../src/server/app.ts";
import type { Desk } from "../../src/server/desk.ts";
import { answerAsk, makeDrawer } from "../../src/server/drawer.ts";
import { madePacket } from "../book/made-packet.ts";

const ORIGIN = "http://127.0.0.1:4000";
let folder: string;
let ask: (path: string, body?: unknown) => Promise<Response>;
let bring: (slug: string) => void;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-comeback-routes-"));
  const book = createBook(join(folder, "book"), { by: "ann", now: () => "2026-11-25T10:00:00Z" });
  createJob(book, { title: "Wagon" });
  const { files } = madePacket(4201, 3);
  addFiles(book, "wagon", files);
  bring = (slug) => {
    addFiles(
      book,
      slug,
      files.filter(({ path }) => path.startsWith("recordings/")),
    );
  };
  const drawer = makeDrawer({ bookFolder: book.folder, by: "ann" });
  // The desk without its worker: the same work, on this thread.
  const desk = { ask: (slug: string, asked: never) => answerAsk(drawer, { id: 1, slug, ask: asked }, () => {}), cancel: async () => {}, close: async () => {} };
  const app = createApp({ book, desk: desk as unknown as Desk, token: "secret", port: () => 4000, webFolder: folder });
  ask = async (path, body) =>
    app.request(`${ORIGIN}${path}`, {
      method: body === undefined ? "GET" : "POST",
      headers: { host: "127.0.0.1:4000", origin: ORIGIN, cookie: "fettle-token=secret", "content-type": "application/json" },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const read = async <T>(answer: Promise<Response>): Promise<T> => (await answer).json() as Promise<T>;

describe("a vehicle that comes back, by the bench", { timeout: 120_000 }, () => {
  test("nothing is kept until somebody keeps it", async () => {
    expect(await read<SignatureView>(ask("/api/jobs/wagon/signature"))).toEqual({ kept: null, visits: [] });
    expect(await read<null>(ask("/api/jobs/wagon/comeback"))).toBeNull();
    const kept = await read<SignatureView>(ask("/api/jobs/wagon/signature", {}));
    expect(kept.kept).toMatchObject({ revision: 0, residuals: expect.any(Number) });
    expect(kept.kept!.measures.map((measure) => measure.title)).toContain("Cranking until it runs");
  });

  test("begun again with only a new drive, it is held against how it left, and what is not known is said", async () => {
    const { slug } = await read<{ slug: string }>(ask("/api/jobs", { title: "Wagon, back", again: "wagon" }));
    const job = await read<{ intake: { engine: object; ambient?: object } }>(ask(`/api/jobs/${slug}`));
    expect(job.intake.engine).toMatchObject({ displacementL: expect.any(Number) });
    expect(job.intake.ambient).toBeUndefined();
    bring(slug);
    const comeback = await read<ComebackView>(ask(`/api/jobs/${slug}/comeback`));
    expect(comeback).toMatchObject({ earlier: { job: "wagon", revision: 0 }, ours: null, basis: "moved since", calibration: { verdict: "not known" } });
    expect(comeback.couldNot.join("\n")).toContain("none was read from the controller this time");
    // The very same recordings: nothing moved.
    for (const moved of comeback.moved) expect(Math.abs(moved.spreads), moved.id).toBeLessThan(0.5);
    expect(comeback.suspects[0]!.fault).toBe("healthy");
    const total = comeback.suspects.reduce((sum, { probability }) => sum + probability, 0);
    expect(total).toBeCloseTo(1, 6);
  });

  test("an earlier job that kept nothing is refused by name", async () => {
    const refused = await ask("/api/jobs/wagon/comeback?from=wagon-back");
    expect(refused.status).toBe(422);
    expect(await refused.json()).toMatchObject({ problem: { what: "This job kept no signature" } });
  });
});
