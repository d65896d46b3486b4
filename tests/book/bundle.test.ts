import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { gunzipSync, gzipSync } from "node:zlib";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import {
  addFiles,
  type Book,
  createBook,
  createJob,
  exportJob,
  importJob,
  jobSlugs,
  keepRecording,
  openBook,
  readJob,
  recordJobEvent,
  undoLast,
} from "../../src/book/index.ts";

let folder: string;
let book: Book;
let slug: string;
let count = 0;

const now = (): string => "2026-11-25T10:00:00Z";
const newBook = (name: string): Book => createBook(join(folder, name), { by: "test", now });
const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-bundle-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeEach(async () => {
  book = newBook(`book-${++count}`);
  slug = createJob(book, { title: "Rough idle, estate car" });
  const large = new Uint8Array(700_001).map((_, i) => (i * i) >> 3);
  const [drive] = addFiles(book, slug, [
    { path: "recordings/drive.csv", bytes: bytesOf("time,rpm\r\n0,800\r\n1,810\r\n") },
    { path: "attachments/empty.txt", bytes: new Uint8Array(0) },
    { path: "attachments/no-extension", bytes: large },
    { path: "attachments/block.bin", bytes: new Uint8Array(512).fill(7) },
  ]);
  await keepRecording(book, slug, drive!.sha256, {
    file: "recordings/drive.csv",
    timeS: Float64Array.of(0, 1),
    channels: { rpm: { signal: "rpm", source: "rpm", confidence: 1, values: Float64Array.of(800, 810) } },
    others: [],
    preamble: {},
    repairs: [],
  });
  recordJobEvent(book, slug, "note.written", { text: "Hört sich nach Falschluft an ✓" });
});

/** Every file of a job with its content, but for what can be made again. */
function contentOf(of: Book, job: string): Record<string, string> {
  const root = join(of.folder, "jobs", job);
  const names = readdirSync(root, { recursive: true, encoding: "utf8" }).filter((name) => !name.startsWith("derived"));
  const files = names.filter((name) => statSync(join(root, name)).isFile()).sort();
  return Object.fromEntries(
    files.map((name) => [
      name.replaceAll("\\", "/"),
      createHash("sha256")
        .update(readFileSync(join(root, name)))
        .digest("hex"),
    ]),
  );
}

describe("a job in one file", () => {
  test("comes back bit for bit in another book, under its own name, and makes the same file again", async () => {
    const path = join(folder, `${count}.job`);
    const out = await exportJob(book, slug, path);
    expect(out).toMatchObject({ slug, files: 6, problems: [] });
    const other = newBook(`other-${count}`);
    const imported = await importJob(other, path);
    expect(imported).toMatchObject({ slug: "rough-idle-estate-car", was: "new", entries: 4, files: 6, problems: [] });
    expect(contentOf(other, imported.slug)).toEqual(contentOf(book, slug));
    expect(readJob(other, imported.slug)).toEqual(readJob(book, slug));
    expect(readdirSync(join(other.folder, "jobs"))).toEqual(["rough-idle-estate-car"]);
    await exportJob(other, imported.slug, `${path}.again`);
    expect(readFileSync(`${path}.again`).equals(readFileSync(path))).toBe(true);
  });

  test("is an archive that the system's own tar unpacks and packs", async () => {
    // Oracle: the tar of the operating system (GNU tar or bsdtar), which shares no code with ours.
    const path = join(folder, `${count}.job`);
    await exportJob(book, slug, path);
    const unpacked = join(folder, `unpacked-${count}`);
    mkdirSync(unpacked);
    execFileSync("tar", ["-xzf", path, "-C", unpacked]);
    const names = Object.keys(contentOf(book, slug));
    for (const name of names) expect(readFileSync(join(unpacked, name)).equals(readFileSync(join(book.folder, "jobs", slug, name)))).toBe(true);
    expect(readdirSync(unpacked).sort()).toEqual(["job.json", "journal.ndjson", "originals", "recordings"]);
    execFileSync("tar", ["--format=ustar", "-czf", `${path}.repacked`, "-C", unpacked, "job.json", ...names]);
    const other = newBook(`other-${count}`);
    const imported = await importJob(other, `${path}.repacked`);
    expect(contentOf(other, imported.slug)).toEqual(contentOf(book, slug));
  });

  test("leaves out what can be made again and what was half-written", async () => {
    const job = join(book.folder, "jobs", slug);
    mkdirSync(join(job, "derived"));
    writeFileSync(join(job, "derived", "analysis"), "x");
    writeFileSync(join(job, "originals", `${"a".repeat(64)}.csv.0a1b2c-1-00000000.part`), "x");
    const torn = Buffer.concat([readFileSync(join(job, "journal.ndjson")), Buffer.from('aaaaaaaaaaaa {"number":5')]);
    writeFileSync(join(job, "journal.ndjson"), torn);
    const path = join(folder, `${count}.job`);
    const out = await exportJob(book, slug, path);
    expect(out.files).toBe(6);
    expect(out.problems.map(({ what }) => what)).toEqual(["The last line is cut off after 24 bytes: a write did not finish"]);
    const imported = await importJob(newBook(`other-${count}`), path);
    expect(imported).toMatchObject({ entries: 4, problems: [] });
  });
});

describe("a job that meets the book", () => {
  const exported = async (of = book, job = slug): Promise<string> => {
    const path = join(folder, `${count}-${Math.random()}.job`);
    await exportJob(of, job, path);
    return path;
  };

  test("takes a new short name where another job has its own", async () => {
    const other = createBook(join(folder, `other-${count}`), { by: "test", now: () => "2026-11-24T10:00:00Z" });
    createJob(other, { title: "Rough idle, estate car" });
    const imported = await importJob(other, await exported());
    expect(imported).toMatchObject({ slug: "rough-idle-estate-car-2", was: "new" });
    expect(contentOf(other, imported.slug)).toEqual(contentOf(book, slug));
  });

  test("is told to be there already when it comes twice, and changes nothing", async () => {
    const before = contentOf(book, slug);
    expect(await importJob(book, await exported())).toMatchObject({ slug, was: "same", sameAs: slug });
    expect(jobSlugs(book)).toEqual([slug]);
    expect(contentOf(book, slug)).toEqual(before);
  });

  test("mends files that are missing or damaged here", async () => {
    const path = await exported();
    const before = contentOf(book, slug);
    const [first, second] = readdirSync(join(book.folder, "jobs", slug, "originals"));
    rmSync(join(book.folder, "jobs", slug, "originals", first!));
    writeFileSync(join(book.folder, "jobs", slug, "originals", second!), "flipped");
    expect((await importJob(book, path)).was).toBe("same");
    expect(contentOf(book, slug)).toEqual(before);
  });

  test("is brought forward by a newer state, and not back by an older one", async () => {
    const other = newBook(`other-${count}`);
    const early = await exported();
    await importJob(other, early);
    addFiles(book, slug, [{ path: "recordings/second.csv", bytes: bytesOf("time,rpm\n0,1\n") }]);
    undoLast(book, slug);
    expect(await importJob(other, await exported())).toMatchObject({ slug, was: "newer", entries: 6 });
    expect(contentOf(other, slug)).toEqual(contentOf(book, slug));
    expect(await importJob(other, early)).toMatchObject({ slug, was: "older" });
    expect(contentOf(other, slug)).toEqual(contentOf(book, slug));
    expect(recordJobEvent(other, slug, "note.written", { text: "goes on" }).number).toBe(7);
  });

  test("comes in beside when both sides went on, and then is known as its own", async () => {
    const other = newBook(`other-${count}`);
    await importJob(other, await exported());
    recordJobEvent(other, slug, "note.written", { text: "there" });
    recordJobEvent(book, slug, "note.written", { text: "here" });
    const path = await exported();
    expect(await importJob(other, path)).toMatchObject({ slug: `${slug}-2`, was: "parted", sameAs: slug });
    expect(contentOf(other, `${slug}-2`)).toEqual(contentOf(book, slug));
    expect(await importJob(other, path)).toMatchObject({ slug: `${slug}-2`, was: "same" });
  });
});

describe("a job file that is not right", () => {
  let whole: Buffer;
  let other: Book;
  const path = (): string => join(folder, `${count}.job`);

  beforeEach(async () => {
    await exportJob(book, slug, path());
    whole = gunzipSync(readFileSync(path()));
    other = newBook(`refusing-${count}`);
  });
  const importing = async (bytes: Uint8Array): Promise<unknown> => {
    writeFileSync(path(), bytes);
    return importJob(other, path());
  };
  const changed = (from: string, to: string): Buffer => {
    const text = whole.toString("latin1");
    expect(text).toContain(from);
    return Buffer.from(text.replace(from, to), "latin1");
  };
  /** A header's sum made right again after its text was changed. */
  const resummed = (archive: Buffer): Buffer => {
    const copy = Buffer.from(archive);
    for (let at = 0; at < copy.length && copy[at] !== 0; ) {
      const size = Number.parseInt(copy.toString("latin1", at + 124, at + 135), 8);
      copy.fill(32, at + 148, at + 156);
      const sum = copy.subarray(at, at + 512).reduce((all, byte) => all + byte, 0);
      copy.write(`${sum.toString(8).padStart(6, "0")}\0 `, at + 148, "latin1");
      at += 512 + Math.ceil(size / 512) * 512;
    }
    return copy;
  };

  test("is refused whole, in words, and nothing is kept of it", async () => {
    const journal = whole.indexOf("journal.ndjson\0");
    const flip = (at: number): Buffer => {
      const copy = Buffer.from(whole);
      copy[at]! ^= 1;
      return copy;
    };
    const link = Buffer.from(whole);
    link[journal + 156] = "2".charCodeAt(0);
    const cases: readonly (readonly [Uint8Array, string])[] = [
      [bytesOf("no archive at all"), "It is damaged, or was packed by something else"],
      [new Uint8Array(0), "It is cut off before its end"],
      [gzipSync(whole).subarray(0, 2000), "It is cut off before its end"],
      [gzipSync(whole.subarray(0, 3000)), "It is cut off"],
      [gzipSync(flip(journal + 600)), "journal.ndjson in it is damaged: its content does not fit its hash"],
      [gzipSync(flip(journal + 3)), "One of its headers is damaged"],
      [gzipSync(resummed(link)), '"journal.ndjson" in it is no plain file'],
      [gzipSync(Buffer.concat([whole.subarray(0, journal), Buffer.alloc(1024)])), "is not in it"],
      [gzipSync(whole.subarray(journal)), "It does not begin with the list of its files"],
      [gzipSync(Buffer.alloc(1024)), "It is empty"],
      [gzipSync(changed('"path": "journal.ndjson"', '"path": "../../../x.txt"')), '"../../../x.txt" in it is no file of a job'],
      [gzipSync(changed('"path": "journal.ndjson"', '"path": "/etc/passwd   "')), "in it is no file of a job"],
      [gzipSync(changed('"path": "journal.ndjson"', '"path": "C:\\\\\\\\nasty.txt"')), "in it is no file of a job"],
      [gzipSync(resummed(changed("journal.ndjson\0\0\0\0\0\0", "../../../../evil.txt"))), '"../../../../evil.txt" in it is not on its list'],
    ];
    for (const [bytes, words] of cases) await expect(importing(bytes)).rejects.toThrow(words);
    await expect(importing(gzipSync(changed('"fettle.job/1"', '"fettle.job/2"')))).rejects.toThrow("exported by a newer version of the program");
    expect(readdirSync(join(other.folder, "jobs"))).toEqual([]);
    await expect(importJob(other, join(folder, "nowhere"))).rejects.toThrow("There is no such file.");
  });

  test("whatever byte of it is flipped, is either refused or comes in as it was", async () => {
    const packed = readFileSync(path());
    const before = contentOf(book, slug);
    for (let at = 0; at < packed.length; at += Math.ceil(packed.length / 40)) {
      const flipped = Buffer.from(packed);
      flipped[at]! ^= 0x10;
      try {
        const imported = (await importing(flipped)) as { slug: string };
        expect(contentOf(other, imported.slug)).toEqual(before);
      } catch (error) {
        expect((error as Error).message).toMatch(/This is not a whole job file|newer version/);
      }
    }
    for (const job of jobSlugs(other)) expect(contentOf(other, job)).toEqual(before);
  });

  test("carries damage that it had at home, and says so on both sides", async () => {
    const [name] = readdirSync(join(book.folder, "jobs", slug, "originals"));
    writeFileSync(join(book.folder, "jobs", slug, "originals", name!), "damaged at home");
    const words = "This file is damaged: its content no longer fits its hash";
    expect((await exportJob(book, slug, path())).problems.map(({ what }) => what)).toEqual([words]);
    expect((await importJob(other, path())).problems.map(({ what }) => what)).toEqual([words]);
  });
});

test("a job of a book in the older layout goes out in the layout of today", async () => {
  const old = join(folder, "old");
  cpSync(book.folder, old, { recursive: true });
  writeFileSync(join(old, "book.json"), JSON.stringify({ schema: "fettle.book/0" }));
  const journal = join(old, "jobs", slug, "journal.ndjson");
  const lines = readFileSync(journal, "utf8");
  writeFileSync(journal, lines.replace(/^[0-9a-f]{12} /gm, ""));
  await exportJob(openBook(old, { by: "test", now }), slug, join(folder, "old.job"));
  const other = newBook(`after-${count}`);
  await importJob(other, join(folder, "old.job"));
  expect(readFileSync(join(other.folder, "jobs", slug, "journal.ndjson"), "utf8")).toBe(lines);
});
