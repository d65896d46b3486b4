import { spawn, spawnSync } from "node:child_process";
import { appendFileSync, chmodSync, cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { hostname, tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { UnusableInput } from "../../src/base/index.ts";
import {
  addFiles,
  type Book,
  breakLock,
  checkBook,
  createBook,
  createJob,
  type Disk,
  exportJob,
  importJob,
  isSound,
  jobSlugs,
  keepRecording,
  lockOwner,
  openBook,
  readBookJournal,
  readJob,
  readOriginal,
  recordBookEvent,
  recordJobEvent,
  undoLast,
  withLock,
} from "../../src/book/index.ts";
import { faultingDisk, makeReadOnly, mountSmallDisk, type Step, smallDisk, unmount } from "./faulting-disk.ts";

let folder: string;
let pattern: string;
let target: string;
let count = 0;

const now = (): string => "2026-11-25T10:00:00Z";
const open = (disk?: Disk, clock = now): Book => openBook(target, { by: "test", now: clock, disk });
const note = (book: Book, text: string): number => recordJobEvent(book, "first", "note.written", { text }).number;
const notesOf = (book: Book): string[] => readJob(book, "first").state.notes.map(({ text }) => text);
const journal = (): string => join(target, "jobs", "first", "journal.ndjson");
const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "fettle-mishaps-"));
  pattern = join(folder, "pattern");
  const book = createBook(pattern, { by: "test", now });
  createJob(book, { title: "First" });
  target = pattern;
  note(book, "before");
  addFiles(book, "first", [{ path: "attachments/a.txt", bytes: bytesOf("kept long ago") }]);
  recordBookEvent(book, "shop.named", { name: "Corner shop" });
  await exportJob(book, "first", join(folder, "first.job"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeEach(() => {
  target = join(folder, `book-${++count}`);
  cpSync(pattern, target, { recursive: true });
});

function messageOf(work: () => unknown): string | undefined {
  try {
    work();
    return undefined;
  } catch (error) {
    expect(error).toBeInstanceOf(UnusableInput);
    const { message } = error as Error;
    expect(message).not.toContain("\n");
    return message;
  }
}

/** What was acknowledged before any mishap is there, the book reads, and the next entry goes in. */
function expectNothingLost(): void {
  const book = open();
  expect(notesOf(book)[0]).toBe("before");
  const [file] = readJob(book, "first").state.files;
  expect(new TextDecoder().decode(readOriginal(book, "first", file!))).toBe("kept long ago");
  expect(readBookJournal(book).events[0]!.data).toEqual({ name: "Corner shop" });
  note(book, "after");
  recordBookEvent(book, "shop.named", { name: "After" });
  expect(notesOf(book).at(-1)).toBe("after");
  expect(readBookJournal(book).events.at(-1)!.data).toEqual({ name: "After" });
  expect(readJob(book, "first").problems).toEqual([]);
  expect(isSound(checkBook(book))).toBe(true);
}

describe("a disk that fails", () => {
  const works: Readonly<Record<string, (book: Book) => unknown>> = {
    "an entry of a job": (book) => note(book, "during"),
    "an entry of the book": (book) => recordBookEvent(book, "shop.named", { name: "during" }),
    "a new job": (book) => createJob(book, { title: "During" }),
    "files that are added": (book) =>
      addFiles(book, "first", [
        { path: "attachments/b.bin", bytes: new Uint8Array(50_000).fill(5) },
        { path: "attachments/c.bin", bytes: new Uint8Array(50_000).fill(6) },
      ]),
    "an undo": (book) => undoLast(book, "first"),
    "an entry after a torn line": (book) => note(book, "during"),
  };
  const preparations: Readonly<Record<string, () => void>> = {
    "an undo": () => note(open(), "to be undone"),
    "an entry after a torn line": () => appendFileSync(journal(), "0123456789ab {torn"),
  };
  const words: Readonly<Record<string, string>> = {
    ENOSPC: "The disk is full; nothing of this entry was kept. Make room and do it again; all earlier entries are safe.",
    EIO: "The disk reports a fault; nothing of this entry was kept. Check the disk and the rights on the folder; all earlier entries are safe.",
    EROFS: "The folder can only be read; nothing of this entry was kept. Check the disk and the rights on the folder; all earlier entries are safe.",
  };

  for (const [name, work] of Object.entries(works))
    test(`at any step of ${name} loses nothing that was acknowledged, and says so in one line`, () => {
      const met = new Set<Step>();
      for (const [code, line] of Object.entries(words))
        for (const staysBroken of [false, true])
          for (let failing = 0; ; failing++) {
            rmSync(target, { recursive: true });
            cpSync(pattern, target, { recursive: true });
            preparations[name]?.();
            const before = readJob(open(), "first").events;
            const disk = faultingDisk(code, (step) => (staysBroken ? step >= failing : step === failing));
            const message = messageOf(() => work(open(disk)));
            if (message === undefined) break;
            const isUnsure = message.includes("whether this entry was kept is not sure: look at the history first");
            expect(message).toContain(isUnsure ? line!.split(";")[0] : line);
            met.add(disk.asked[failing]!);
            // A disk that fails once takes back what it wrote: then nothing of the work is left. One that does not even take back says so.
            if (staysBroken) expect(readJob(open(), "first").events.slice(0, before.length)).toEqual(before);
            else expect(isUnsure).toBe(false);
            if (!isUnsure) expect(readJob(open(), "first").events).toEqual(before);
            expectNothingLost();
          }
      expect([...met]).toEqual(expect.arrayContaining(["open", "write", "sync"]));
    });

  test("at any step of an import leaves the book as it was", async () => {
    rmSync(join(target, "jobs", "first"), { recursive: true });
    for (let failing = 0; ; failing++) {
      const book = open(faultingDisk("ENOSPC", (step) => step >= failing));
      const outcome = await importJob(book, join(folder, "first.job")).catch((error: Error) => error.message);
      if (typeof outcome !== "string") break;
      expect(outcome).toContain("The disk is full; nothing of this entry was kept.");
      expect(readdirSync(join(target, "jobs"))).toEqual([]);
    }
    expect(jobSlugs(open())).toEqual(["first"]);
    expectNothingLost();
  });
});

describe("a disk that is full", () => {
  let isMounted = false;
  afterEach(() => {
    if (isMounted) unmount(target);
    isMounted = false;
  });

  test("takes what it can and refuses the rest; with room made, work goes on", { timeout: 30_000 }, async () => {
    const mountPoint = join(folder, `small-${count}`);
    isMounted = mountSmallDisk(mountPoint);
    if (isMounted) {
      cpSync(pattern, mountPoint, { recursive: true });
      target = mountPoint;
    }
    const disk = smallDisk(400_000);
    const book = isMounted ? open() : open(disk);
    const acknowledged: string[] = [];
    let refusals = 0;
    for (let i = 0; refusals < 5 && i < 2000; i++) {
      const text = `${i} ${"x".repeat(1 + ((i * 7919) % 4000))}`;
      const message = messageOf(() => note(book, text));
      if (message === undefined) acknowledged.push(text);
      else {
        refusals++;
        expect(message).toContain("disk is full");
      }
      if (i % 3 === 0) messageOf(() => addFiles(book, "first", [{ path: `attachments/${i}.bin`, bytes: new Uint8Array(9000).fill(i) }]));
    }
    expect(refusals).toBe(5);
    expect(acknowledged.length).toBeGreaterThan(20);
    expect(notesOf(open())).toEqual(["before", ...acknowledged]);
    const recording = {
      file: "recordings/a.csv",
      timeS: Float64Array.from({ length: 90_000 }, (_, i) => Math.sqrt(i)),
      channels: {},
      others: [],
      preamble: {},
      repairs: [],
    };
    if (isMounted) {
      await expect(keepRecording(book, "first", "ab".repeat(32), recording)).rejects.toThrow(/disk is full/);
      expect(readdirSync(join(target, "jobs", "first", "recordings"))).toEqual([]);
      for (const name of readdirSync(join(target, "jobs", "first", "originals")).slice(0, 20)) rmSync(join(target, "jobs", "first", "originals", name));
      expect(checkBook(open()).damaged).toEqual([]);
    } else {
      disk.room = 1e6;
      expectNothingLost();
    }
    expect(note(open(), "room again")).toBeGreaterThan(acknowledged.length);
  });
});

describe("a folder that can only be read", () => {
  test("opens, reads and is checked; an entry is refused in words", () => {
    const isReadOnly = makeReadOnly(target);
    try {
      const book = open(isReadOnly ? undefined : faultingDisk("EROFS", () => true));
      expect(notesOf(book)).toEqual(["before"]);
      expect(isSound(checkBook(book))).toBe(true);
      for (const work of [
        () => note(book, "x"),
        () => createJob(book, { title: "x" }),
        () => addFiles(book, "first", [{ path: "attachments/x", bytes: bytesOf("x") }]),
      ])
        expect(messageOf(work)).toMatch(/can only be read|may not be written|no right to write/);
      expect(existsSync(join(target, "lock"))).toBe(false);
    } finally {
      unmount(target);
      chmodSync(target, 0o755);
    }
    expectNothingLost();
  });
});

describe("a journal that was hurt", () => {
  test("with a torn last line: the line is told, set aside by the next entry, and its number given anew", () => {
    const whole = readFileSync(journal());
    for (const keep of [1, 12, 13, 60, whole.length - whole.lastIndexOf(10, whole.length - 2) - 2]) {
      const lastLine = whole.subarray(whole.lastIndexOf(10, whole.length - 2) + 1);
      writeFileSync(journal(), Buffer.concat([whole, lastLine.subarray(0, keep)]));
      const [problem] = readJob(open(), "first").problems;
      expect(problem!.what).toBe(`The last line is cut off after ${keep} bytes: a write did not finish`);
      expect(note(open(), "after")).toBe(4);
      expect(readJob(open(), "first").problems).toEqual([]);
      expect(readFileSync(`${journal()}.torn-at-${whole.length}`).equals(lastLine.subarray(0, keep))).toBe(true);
      expectNothingLost();
      writeFileSync(journal(), whole);
    }
  });

  test("with a flipped byte: the one line is left out and told by its number, all others stand", () => {
    note(open(), "second");
    const whole = readFileSync(journal());
    const second = whole.indexOf(10) + 1;
    for (const at of [second, second + 12, second + 30, whole.indexOf(10, second) - 1]) {
      const flipped = Buffer.from(whole);
      flipped[at]! ^= 2;
      writeFileSync(journal(), flipped);
      const { state, problems } = readJob(open(), "first");
      expect(problems.map(({ at: { line } }) => line)).toEqual([2]);
      expect(state.notes.map(({ text }) => text)).toEqual(["second"]);
      expect(note(open(), "third")).toBe(5);
    }
  });

  test("with a flipped line end: two lines are told as one, all others stand", () => {
    note(open(), "second");
    const flipped = readFileSync(journal());
    flipped[flipped.indexOf(10)]! ^= 1;
    writeFileSync(journal(), flipped);
    const { problems, state } = readJob(open(), "first");
    expect(problems).toHaveLength(1);
    expect(state.notes.map(({ text }) => text)).toEqual(["second"]);
    expect(note(open(), "third")).toBe(5);
  });

  test("with other line ends, as a program that syncs folders makes them: reads and goes on as before", () => {
    writeFileSync(journal(), readFileSync(journal(), "utf8").replaceAll("\n", "\r\n"));
    expect(readJob(open(), "first").problems).toEqual([]);
    expect(note(open(), "second")).toBe(4);
    expect(notesOf(open())).toEqual(["before", "second"]);
    expectNothingLost();
  });

  test("by entries of a newer program: they are kept, passed over, and can be undone", () => {
    const book = open();
    const newer = recordJobEvent(book, "first", "tyre.turned" as "note.written", { wheel: 3 } as unknown as { text: string });
    note(book, "second");
    expect(notesOf(book)).toEqual(["before", "second"]);
    expect(readJob(book, "first").events.find(({ number }) => number === newer.number)).toMatchObject({ kind: "tyre.turned", data: { wheel: 3 } });
    undoLast(book, "first");
    expect(undoLast(book, "first")).toMatchObject({ kind: "tyre.turned" });
    expectNothingLost();
  });
});

test("an original with a flipped byte is refused by name, and mended by adding the same file again", () => {
  const originals = join(target, "jobs", "first", "originals");
  const [name] = readdirSync(originals);
  writeFileSync(join(originals, name!), "kept lonG ago");
  const [file] = readJob(open(), "first").state.files;
  expect(messageOf(() => readOriginal(open(), "first", file!))).toContain(
    "The original of attachments/a.txt is damaged: its content no longer fits its hash. Take it from a backup of the book, or add the same file again.",
  );
  addFiles(open(), "first", [{ path: "attachments/a.txt", bytes: bytesOf("kept long ago") }]);
  expectNothingLost();
});

test("a clock that is set back leaves the order of the entries alone", () => {
  const clock = ["2026-11-25T12:00:00+01:00", "1970-01-01T00:00:00Z", "2026-11-25T09:00:00Z"];
  for (const at of clock)
    note(
      open(undefined, () => at),
      at,
    );
  const { state, events } = readJob(open(), "first");
  expect(state.notes.map(({ text }) => text)).toEqual(["before", ...clock]);
  expect(events.map(({ number }) => number)).toEqual([1, 2, 3, 4, 5, 6]);
  expect(undoLast(open(), "first")).toMatchObject({ at: "2026-11-25T09:00:00Z" });
  expect(notesOf(open())).toEqual(["before", ...clock.slice(0, 2)]);
});

describe("a book that another holds", () => {
  const hold = (owner: Readonly<Record<string, unknown>>): void => {
    const ours = withLock(target, now(), () => lockOwner(target));
    writeFileSync(join(target, "lock"), JSON.stringify({ ...ours, user: "anna", nonce: "another", ...owner }));
  };

  test("names who holds it, once waiting did not help; reading goes on meanwhile", { timeout: 30_000 }, () => {
    hold({});
    expect(messageOf(() => note(open(), "x"))).toContain(
      `The book is held by anna on ${hostname()} (process ${process.pid}) since 2026-11-25T10:00:00Z. Wait until that work is done; if that machine is switched off or gone, free it with: fettle book unlock.`,
    );
    expect(notesOf(open())).toEqual(["before"]);
    expect(lockOwner(target)).toMatchObject({ user: "anna" });
    expect(checkBook(open()).lockedBy).toMatchObject({ user: "anna" });
  });

  test("is waited for", { timeout: 30_000 }, async () => {
    hold({});
    const lock = JSON.stringify(join(target, "lock"));
    const other = spawn(process.execPath, ["-e", `setTimeout(() => require("node:fs").rmSync(${lock}), 300)`], { stdio: "ignore" });
    expect(note(open(), "after waiting")).toBe(4);
    await new Promise((resolve) => other.on("close", resolve));
    expectNothingLost();
  });

  test("is taken over at once when the process that held it is gone", () => {
    const { pid } = spawnSync(process.execPath, ["-e", ""]);
    hold({ pid });
    const began = performance.now();
    expect(note(open(), "taken over")).toBe(4);
    expect(performance.now() - began).toBeLessThan(3000);
    expectNothingLost();
  });

  test("on another machine, as a copied folder tells it, is not taken over but freed by a person", { timeout: 30_000 }, () => {
    const { pid } = spawnSync(process.execPath, ["-e", ""]);
    hold({ pid, host: "workshop-laptop" });
    expect(messageOf(() => note(open(), "x"))).toContain(`The book is held by anna on workshop-laptop (process ${pid})`);
    expect(breakLock(target)).toMatchObject({ host: "workshop-laptop" });
    expectNothingLost();
  });
});

test("what killed writers left half-written is swept when the book is opened, what living ones write is not", () => {
  const { pid } = spawnSync(process.execPath, ["-e", ""]);
  const originals = join(target, "jobs", "first", "originals");
  const book = open(faultingDisk("EIO", (_, step) => step === "rename"));
  expect(messageOf(() => addFiles(book, "first", [{ path: "attachments/x", bytes: bytesOf("x") }]))).toContain("The disk reports a fault");
  expect(readdirSync(originals)).toHaveLength(1);
  // Only this machine's own mark is swept at once; it is taken from a name that the book itself gave.
  let part = "";
  const spying: Disk = {
    ...faultingDisk("EIO", () => false),
    open: (path) => {
      part = path;
      throw Object.assign(new Error("EIO"), { code: "EIO" });
    },
  };
  messageOf(() => addFiles(open(spying), "first", [{ path: "attachments/x", bytes: bytesOf("x") }]));
  const ofTheDead = part.replace(`-${process.pid}-`, `-${pid}-`);
  expect(ofTheDead).not.toBe(part);
  writeFileSync(part, "half");
  writeFileSync(ofTheDead, "half");
  open();
  expect(existsSync(ofTheDead)).toBe(false);
  expect(existsSync(part)).toBe(true);
});
