import { mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { hostname, tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test, vi } from "vitest";
import { buildProgram } from "../../src/cli/program.ts";

let folder: string;
let book: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-commands-"));
  book = join(folder, "book");
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeEach(() => {
  vi.stubEnv("FETTLE_BOOK", book);
  vi.stubEnv("FETTLE_BY", "Ines");
});
afterEach(() => {
  vi.unstubAllEnvs();
  vi.restoreAllMocks();
  process.exitCode = 0;
});

/** Runs one command of the command line in this process; what it says, and the status it would end with. */
async function fettle(...args: readonly string[]): Promise<{ readonly out: string; readonly err: string; readonly status: number }> {
  let out = "";
  let err = "";
  const output = vi.spyOn(process.stdout, "write").mockImplementation((text) => {
    out += String(text);
    return true;
  });
  const complaint = vi.spyOn(process.stderr, "write").mockImplementation((text) => {
    err += String(text);
    return true;
  });
  process.exitCode = 0;
  try {
    await buildProgram().parseAsync(["node", "fettle", ...args]);
  } finally {
    output.mockRestore();
    complaint.mockRestore();
  }
  const status = Number(process.exitCode ?? 0);
  process.exitCode = 0;
  return { out, err, status };
}

const DRIVE = `Time [s],Engine speed [rpm],Zorp\n${Array.from({ length: 60 }, (_, i) => `${i / 10},${1500 + i},${i}`).join("\n")}\n`;

describe("a job by commands", () => {
  test("begins in a new book and says what is missing", async () => {
    expect((await fettle("book", "create")).status).toBe(0);
    expect((await fettle("begin", "Rough idle")).out).toBe("rough-idle\n");
    expect((await fettle("intake", "rough-idle")).out).toContain("Give at least engine.displacementL=LITRES engine.cylinders=NUMBER");
    expect((await fettle("diagnose", "rough-idle")).err).toContain("The job has no intake yet.");
  });

  test("takes facts one by one and holds them to the rules of the intake sheet", async () => {
    const first = await fettle("intake", "rough-idle", "engine.displacementL=3,3", "engine.cylinders=6", "vehicle.gearRatios=[3.06, 1.63]");
    expect(first.out).toMatch(/engine\.displacementL +3\.3\nengine\.cylinders +6\n/);
    await fettle("intake", "rough-idle", "vehicle.axleRatio=3.9", "complaint=idles too fast", "--why", "read from the tag");
    const json = JSON.parse((await fettle("intake", "rough-idle", "--json")).out);
    expect(json).toEqual({ engine: { displacementL: 3.3, cylinders: 6 }, vehicle: { gearRatios: [3.06, 1.63], axleRatio: 3.9 }, complaint: "idles too fast" });
    await fettle("intake", "rough-idle", "complaint=");
    expect(JSON.parse((await fettle("intake", "rough-idle", "--json")).out).complaint).toBeUndefined();
    const wrong = await fettle("intake", "rough-idle", "engine.cylinders=many");
    expect(wrong.status).toBe(1);
    expect(wrong.err).toContain('expected a number, found "many"');
    const odd = await fettle("intake", "rough-idle", "__proto__.x=1");
    expect(odd.err).toContain('"__proto__.x=1" sets no field');
  });

  test("lays recordings down as columns beside their originals, and an undo takes back the files", async () => {
    writeFileSync(join(folder, "drive.csv"), DRIVE);
    expect((await fettle("add", "rough-idle", join(folder, "drive.csv"))).status).toBe(0);
    expect(readdirSync(join(book, "jobs/rough-idle/recordings")).map((name) => name.replace(/^[0-9a-f]{64}/, "HASH"))).toEqual(["HASH.parquet"]);
    const history = JSON.parse((await fettle("history", "rough-idle", "--json")).out) as { kind: string }[];
    expect(history.slice(-2).map((event) => event.kind)).toEqual(["files.added", "recordings.kept"]);
    expect((await fettle("undo", "rough-idle")).out).toContain("Undone: Ines brought recordings/drive.csv");
    expect((await fettle("redo", "rough-idle")).out).toContain("Brought back");
    expect((await fettle("book", "check")).out).toContain("all whole");
  });

  test("leaves files out and says which it has not", async () => {
    expect((await fettle("take-out", "rough-idle", "recordings", "--why", "probe fell off")).out).toBe("Took out 1 file.\n");
    const none = await fettle("take-out", "rough-idle", "recordings/drive.csv");
    expect(none.status).toBe(1);
    expect(none.err).toBe("recordings/drive.csv: The job has no such file. See what it has: fettle show rough-idle.\n");
    await fettle("undo", "rough-idle");
    expect((await fettle("show", "rough-idle")).out).toContain("recordings/drive.csv");
  });

  test("gets another title and keeps its short name", async () => {
    await fettle("rename", "rough-idle", "Idle", "and", "shift", "speeds");
    expect((await fettle("show", "rough-idle")).out).toContain("Idle and shift speeds");
  });

  test("ticks off a list that the book keeps", async () => {
    await fettle("remember", "checklist", "Before a pull", "Tie-downs", "Fans on", "Who stops it");
    expect((await fettle("tick", "rough-idle", "Before a pull", "1", "3")).out).toBe("1  [done]  Tie-downs\n2  [ ]     Fans on\n3  [done]  Who stops it\n");
    expect((await fettle("tick", "rough-idle", "Before a pull", "3", "--off")).out).toContain("3  [ ]     Who stops it");
    expect((await fettle("tick", "rough-idle", "Before a pull", "4")).err).toContain("The list has no item 4. Take a number from 1 to 3.");
    expect((await fettle("tick", "rough-idle", "Another")).err).toContain("Take one of Before a pull.");
    await fettle("remember", "checklist", "Before a pull", "--drop");
    const supplied = await fettle("tick", "rough-idle", "Before a pull");
    expect(supplied.out).toContain("Extinguishers for fuel and electrical fires");
    expect(supplied.out).not.toContain("Tie-downs");
    expect((await fettle("tick", "rough-idle", "Arrival")).status).toBe(1);
  });

  test("stops for a part, and says what is to be measured again once it is in", async () => {
    expect((await fettle("wait", "rough-idle", "smoke hose", "--for", "part", "--fault", "air.unmetered-leak", "--until", "2026-12-01")).status).toBe(0);
    const waits = JSON.parse((await fettle("waits", "--json")).out) as { job: string; fault: string; measureAgain: { by: string; test?: string }[] }[];
    expect(waits).toMatchObject([{ job: "rough-idle", fault: "air.unmetered-leak" }]);
    const again = waits[0]!.measureAgain.length;
    expect((await fettle("waits")).out.replace(/\s+/g, " ")).toContain(`mends air.unmetered-leak; then ${again} things to measure again`);
    const over = JSON.parse((await fettle("wait-over", "rough-idle", "--json")).out) as { measureAgain: { isDone: boolean }[] };
    expect(over.measureAgain.map((item) => item.isDone)).toEqual(Array.from({ length: again }, () => false));
    expect((await fettle("observe", "rough-idle", "smoke-test", "clean")).status).toBe(0);
    writeFileSync(join(folder, "after.csv"), DRIVE);
    expect((await fettle("add", "rough-idle", join(folder, "after.csv"))).status).toBe(0);
    const { measureAgain } = JSON.parse((await fettle("show", "rough-idle", "--json")).out) as { measureAgain: { by: string; isDone: boolean }[] };
    const done = measureAgain.filter((item) => item.isDone).map((item) => item.by);
    // One recording came, so the first of those asked for is done, and the test with its outcome.
    expect(done.toSorted()).toEqual(["recording", "test"]);
    expect((await fettle("show", "rough-idle")).out).toContain("[open]");
    expect((await fettle("waits")).out).toBe("Nothing waits.\n");
  });

  test("forgets what a column is, for all jobs", async () => {
    await fettle("remember", "column", "Zorp", "ect");
    await fettle("remember", "column", "Blip", "none");
    expect((await fettle("remember", "list")).out).toMatch(/Columns\n *Blip +none\n *Zorp +ect/);
    expect((await fettle("remember", "column", "Zorp", "--drop")).out).toBe('"Zorp" is guessed again.\n');
    expect((await fettle("remember", "list")).out).not.toContain("Zorp");
    const gone = await fettle("remember", "column", "Zorp", "--drop");
    expect(gone.status).toBe(1);
    expect(gone.err).toBe('Zorp: No such column is remembered. Take one of "Blip".\n');
    const ofFile = await fettle("remember", "column", "Blip", "--drop", "--job", "rough-idle", "--file", "recordings/drive.csv");
    expect(ofFile.err).toContain("Undo that entry, or say it anew");
    expect((await fettle("remember", "column", "Blip")).err).toContain("A column needs the signal that it is");
  });

  test("is told which role a table has, and refuses one that does not fit", async () => {
    writeFileSync(join(folder, "k7.csv"), "table,K 7\nunit,rpm\nx,Coolant,degC\ndata,0,80\n,1100,750\n");
    expect((await fettle("add", "rough-idle", join(folder, "k7.csv"), "--as", "calibration")).status).toBe(0);
    const misfit = await fettle("role", "rough-idle", "K 7", "air.ve");
    expect(misfit.status).toBe(1);
    expect(misfit.err).toBe(
      'calibration/as-received/k7.csv: "K 7" is a curve over one axis, Volumetric efficiency (air.ve) is a grid over two axes. Choose one that fits: idle.target-speed, none.\n',
    );
    expect((await fettle("role", "rough-idle", "K 7", "air.filling")).err).toContain('role: there is no "air.filling"');
    expect((await fettle("role", "rough-idle", "K 7", "none")).out).toBe('"K 7" is no table known here.\n');
    expect((await fettle("role", "rough-idle", "K 7", "idle.target-speed")).out).toBe('"K 7" is Idle target speed (idle.target-speed).\n');
    expect((await fettle("undo", "rough-idle")).out).toContain('Undone: Ines said that table "K 7" is idle.target-speed');
    expect((await fettle("role", "rough-idle", "K 7", "as-read")).out).toContain("is what its sheet says");
  });

  test("frees a book that a machine which is gone still holds, naming it", async () => {
    const owner = { pid: 1, host: `not-${hostname()}`, user: "jo", since: "2026-01-02T03:04:05Z", nonce: "0123456789abcdef" };
    writeFileSync(join(book, "lock"), JSON.stringify(owner));
    expect((await fettle("book", "unlock")).out).toBe(`Freed. It was held by jo on not-${hostname()} since 2026-01-02T03:04:05Z.\n`);
    expect((await fettle("book", "unlock")).out).toBe("Nobody holds the book.\n");
    expect((await fettle("note", "rough-idle", "writes again")).status).toBe(0);
  });
});
