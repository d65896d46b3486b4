import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { addFiles, createBook, createJob } from "../../src/book/index.ts";
import { filesOf } from "../../src/cli/load-packet.ts";
import { createApp } from "../../src/server/app.ts";
import type { Desk } from "../../src/server/desk.ts";
import { answerAsk, makeDrawer } from "../../src/server/drawer.ts";

const PACKET = join(import.meta.dirname, "../../examples/packets/power-complaint");
const ORIGIN = "http://127.0.0.1:4000";

let folder: string;
let ask: (path: string, body?: unknown) => Promise<Response>;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-routes-"));
  const book = createBook(join(folder, "book"), { by: "ann", now: () => "2026-11-25T10:00:00Z" });
  createJob(book, { title: "Wagon" });
  addFiles(book, "wagon", filesOf(PACKET));
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

describe("revisions by the bench", { timeout: 60_000 }, () => {
  test("nothing decided: no revision, and the refusal says what to do", async () => {
    expect((await (await ask("/api/jobs/wagon/promise")).json()) as unknown).toBeNull();
    const asked = (await (await ask("/api/jobs/wagon/promise?of=asked")).json()) as { tables: unknown[]; parts: { id: string; bins: unknown[] }[] };
    expect(asked.tables.length).toBeGreaterThan(0);
    expect(asked.parts.map((part) => part.id)).toEqual(["fuel", "air"]);
    const refused = await ask("/api/jobs/wagon/revisions", { name: "First" });
    expect(refused.status).toBe(422);
    expect((await refused.json()) as unknown).toMatchObject({ problem: { what: expect.stringContaining("No decision changes a cell") } });
  });

  test("a cell set by hand becomes a revision that tells why, can be compared and taken away", async () => {
    const data = { role: "air.ve", decision: "edit", cells: [{ row: 0, column: 0, value: 55 }] };
    expect((await ask("/api/jobs/wagon/events", { kind: "change.decided", data, why: "measured by hand" })).status).toBe(200);
    const promise = (await (await ask("/api/jobs/wagon/promise")).json()) as { tables: { role: string; regions: { before: number; observed: null }[] }[] };
    expect(promise.tables.map((table) => table.role)).toEqual(["air.ve"]);
    expect(promise.tables[0]!.regions[0]).toMatchObject({ before: expect.any(Number), predicted: expect.any(Number), observed: null });

    const made = await ask("/api/jobs/wagon/revisions", { name: "First", why: "idle" });
    expect(made.status).toBe(201);
    expect((await made.json()) as unknown).toMatchObject({ revisions: [{ number: 1, name: "First", by: "ann", why: "idle" }], decisions: [] });

    const why = (await (await ask("/api/jobs/wagon/why?table=air.ve&row=0&column=0")).json()) as string[];
    expect(why.join("\n")).toMatch(
      /Factory: .*\n.*As received: .*\n.*ann: set to 55 % by hand. Reason: measured by hand\.\n.*revision 1 "First" took it from .* to 55 %.*\nNow: 55 % in revision 1\./,
    );

    const compared = (await (await ask("/api/jobs/wagon/compare?from=0&to=1")).json()) as { role: string; cells: number }[];
    expect(compared).toMatchObject([{ role: "air.ve", cells: 1 }]);

    const changed = (await (await ask("/api/jobs/wagon/changed?from=0&to=1")).json()) as { role: string; from: number[]; to: number[] }[];
    expect(changed.map((table) => table.role)).toEqual(["air.ve"]);
    expect(changed[0]!.to.filter((cell, i) => cell !== changed[0]!.from[i])).toEqual([55]);

    // The drive on hand was made before the revision: what it promises stands there, what it did does not.
    const verified = (await (await ask("/api/jobs/wagon/verification?revision=1")).json()) as { revision: number; verdict: string };
    expect(verified).toMatchObject({ revision: 1, from: 0, verdict: "not driven" });
    expect((await (await ask("/api/jobs/wagon/verification")).json()) as unknown).toBeNull();

    const archive = await ask("/api/jobs/wagon/revisions/1");
    expect(archive.headers.get("content-disposition")).toContain("wagon-revision-1.zip");
    const bytes = Buffer.from(await archive.arrayBuffer());
    expect(bytes.includes("volumetric-efficiency.csv")).toBe(true);
    const only = Buffer.from(await (await ask("/api/jobs/wagon/revisions/1?take=changed")).arrayBuffer());
    expect(only.includes("volumetric-efficiency.csv")).toBe(true);
    expect(only.includes("shift")).toBe(false);
    const bundle = Buffer.from(await (await ask("/api/jobs/wagon/revisions/1?take=bundle")).arrayBuffer());
    for (const path of ["changed-cells.tsv", "changed/volumetric-efficiency.csv", "calibration/volumetric-efficiency.csv"])
      expect(bundle.includes(path), path).toBe(true);
  });

  test("an accepted proposal is kept as it stood, with who took it", async () => {
    const data = {
      role: "air.ve",
      decision: "accept",
      region: [
        [2, 2],
        [2, 2],
      ],
    };
    const answered = await ask("/api/jobs/wagon/events", { kind: "change.decided", data });
    expect(answered.status).toBe(200);
    const journal = readFileSync(join(folder, "book/jobs/wagon/journal.ndjson"), "utf8").trim().split("\n").at(-1)!;
    expect(journal).toMatch(/"proposal":\{"sheet":"[0-9a-f]{64}","sd":\[/);
  });

  test.each([
    ["/api/jobs/wagon/revisions/9", "The job has no revision 9"],
    ["/api/jobs/wagon/revisions/x", '"x" is no whole number'],
    ["/api/jobs/wagon/why?table=air.ve&row=99&column=0", "There is no cell in row 99, column 0"],
    ["/api/jobs/wagon/why?table=nothing&row=0&column=0", 'The calibration has no table "nothing"'],
    ["/api/jobs/wagon/compare?from=0", '"" is no whole number'],
  ])("%s is refused in words", async (path, what) => {
    const refused = await ask(path);
    expect(refused.status).toBe(422);
    expect(((await refused.json()) as { problem: { what: string } }).problem.what).toBe(what);
  });
});
