import { existsSync, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import type { AnalysisView, BoardView, HitView, JobView, LookView, ProblemView } from "../../src/api/index.ts";
import { addFiles, type Book, createBook, createJob, memoryOf, readJob, recordBookEvent, recordJobEvent } from "../../src/book/index.ts";
import { answerAsk, makeDrawer } from "../../src/server/drawer.ts";
import { createApp, type Desk, type ServerParts } from "../../src/server/index.ts";

let folder: string;
let book: Book;
let parts: ServerParts;

const TOKEN = "a-token-of-some-length";
const INTAKE = JSON.stringify({ engine: { displacementL: 2, cylinders: 4 } });
const DRIVE = `Time [s],Engine speed [rpm],Manifold absolute pressure [kPa],Gadget [V]\n${Array.from({ length: 60 }, (_, i) => `${i / 10},${800 + i},${40 + (i % 3)},13.5`).join("\n")}\n`;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-shelf-"));
  book = createBook(join(folder, "book"), { by: "ana", now: () => "2026-03-14T10:00:00.000Z" });
  const drawer = makeDrawer({ bookFolder: book.folder, by: "ana" });
  // The desk's work without its thread.
  const desk = {
    ask: (slug, ask) => answerAsk(drawer, { id: 0, slug, ask }, () => {}),
    cancel: async () => {},
    close: async () => {},
  } as Desk;
  parts = { book, desk, token: TOKEN, port: () => 80, webFolder: folder };
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const ask = (path: string, init: RequestInit = {}) =>
  createApp(parts).request(`http://127.0.0.1:80${path}`, {
    ...init,
    headers: { host: "127.0.0.1:80", "x-fettle-token": TOKEN, "content-type": "application/json", ...init.headers },
  });

test("recordings of a drop are laid down as columns", async () => {
  const slug = createJob(book, { title: "Surges" });
  await ask(`/api/jobs/${slug}/files?path=intake.json`, { method: "PUT", body: INTAKE });
  await ask(`/api/jobs/${slug}/files?path=recordings/drive.csv`, { method: "PUT", body: DRIVE });
  const laid = await ask(`/api/jobs/${slug}/columns`, { method: "POST", body: "{}" });
  expect(await laid.json()).toEqual({ laid: 1 });
  expect(readJob(book, slug).state.recordings).toMatchObject([{ path: "recordings/drive.csv", rows: 60 }]);
  expect(readdirSync(join(book.folder, "jobs", slug, "recordings")).filter((name) => name.endsWith(".parquet"))).toHaveLength(1);
  expect(await (await ask(`/api/jobs/${slug}/columns`, { method: "POST", body: "{}" })).json()).toEqual({ laid: 0 });
});

test("a file says which columns it cannot tell; one named once is known the next time", async () => {
  const look = async (): Promise<LookView> => (await ask("/api/look?name=drive.csv", { method: "POST", body: DRIVE })).json() as Promise<LookView>;
  const before = await look();
  expect(before.kind).toBe("recording");
  expect(before.columns).toEqual([expect.objectContaining({ column: expect.stringContaining("Gadget") })]);
  const { column } = before.columns[0]!;
  const told = await ask("/api/book/events", { method: "POST", body: JSON.stringify({ kind: "column.learned", data: { column, signal: "battery" } }) });
  expect(told.status).toBe(200);
  expect(Object.values(memoryOf(book).columns)).toEqual(["battery"]);
  expect((await look()).columns).toEqual([]);
});

test("the search finds what people wrote before what files are called", async () => {
  const slug = createJob(book, { title: "Surges" });
  addFiles(book, slug, [{ path: "attachments/throttle-photo.txt", bytes: new TextEncoder().encode("x") }]);
  recordJobEvent(book, slug, "note.written", { text: "throttle sticks at two per cent", station: "diagnosis" });
  recordJobEvent(book, slug, "controller.read", { plan: "Any controller", method: "On the table", fusesOut: "throttle relay" });
  const hits = (await (await ask("/api/search?for=throttle")).json()) as HitView[];
  expect(hits.map(({ place, station }) => [place, station])).toEqual([
    ["note", "intake"],
    ["reading", "reading"],
    ["file", "recordings"],
  ]);
});

test("a bench on one book says so, and refuses to change; a demo is told from a person's own", async () => {
  const board = async (): Promise<BoardView> => (await ask("/api/board")).json() as Promise<BoardView>;
  expect((await board()).book).toEqual({ isDemo: false, canChange: false, hasOwn: true });
  const refused = await ask("/api/book/open", { method: "POST", body: JSON.stringify({ which: "demo" }) });
  expect(refused.status).toBe(422);
  recordBookEvent(book, "demo.began", { today: "2026-03-14" });
  expect((await board()).book.isDemo).toBe(true);
  expect(existsSync(join(folder, "own"))).toBe(false);
});

test("a table's role is chosen by an entry; one that does not fit is refused in one sentence and not entered", async () => {
  const slug = createJob(book, { title: "Wrong table" });
  await ask(`/api/jobs/${slug}/files?path=intake.json`, { method: "PUT", body: INTAKE });
  const sheet = "table,Filling B\nrole,spark.main\nunit,%\nx,Engine speed,rpm\ny,MAP,kPa\ndata,800,2000\n30,50,52\n60,60,62\n";
  await ask(`/api/jobs/${slug}/files?path=calibration/as-received/b.csv`, { method: "PUT", body: sheet });
  const choose = (role: string) =>
    ask(`/api/jobs/${slug}/events`, { method: "POST", body: JSON.stringify({ kind: "table.named", data: { table: "Filling B", role } }) });
  const misfit = await choose("idle.base-airflow");
  expect(misfit.status).toBe(422);
  expect(((await misfit.json()) as ProblemView).problem.what).toContain('"Filling B" is a grid over two axes');
  expect((await choose("air.filling")).status).toBe(400);
  const named = (await (await choose("air.ve")).json()) as JobView;
  expect(named.tableRoles).toEqual({ "Filling B": "air.ve" });
  expect(named.undo).toBe("the table's role");
  const { tables } = (await parts.desk.ask(slug, { what: "analyse" })) as AnalysisView;
  expect(tables.map(({ title, role, couldBe }) => ({ title, role, couldBe }))).toEqual([{ title: "Filling B", role: "air.ve", couldBe: ["air.ve"] }]);
  const undone = (await (await ask(`/api/jobs/${slug}/undo`, { method: "POST", body: "{}" })).json()) as JobView;
  expect(undone.tableRoles).toEqual({});
});
