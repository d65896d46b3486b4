import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { isDeepStrictEqual } from "node:util";
import { asyncBufferFromFile, parquetMetadataAsync, parquetReadObjects } from "hyparquet";
import { compressors } from "hyparquet-compressors";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { addFiles, type Book, createBook, createJob, type KeptFile, keepRecording, readJob, readKeptRecording, recordingOf } from "../../src/book/index.ts";
import type { Recording } from "../../src/core/recordings/index.ts";
import { readRecording } from "../../src/formats/index.ts";

let folder: string;
let book: Book;
let slug: string;
let count = 0;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "fettle-parquet-"));
  book = createBook(join(folder, "shop's book"), { by: "test", now: () => "2026-11-25T10:00:00Z" });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeEach(() => {
  slug = createJob(book, { title: `Job ${++count}` });
});

const column = (rows: number, value: (row: number) => number): Float64Array => Float64Array.from({ length: rows }, (_, row) => value(row));

/** Names that clash without regard to case, quotes, letters outside ASCII, blanks, an empty column, more rows than one group. */
function awkward(rows: number): Recording {
  return {
    file: "recordings/first drive.csv",
    timeS: column(rows, (row) => row / 10),
    channels: {
      rpm: {
        signal: "rpm",
        source: 'Engine "speed" [1/min]',
        confidence: 0.93,
        values: column(rows, (row) => (row % 7 === 3 ? Number.NaN : 800 + Math.sin(row))),
      },
      ect: { signal: "ect", source: "Kühlmittel [°C]", confidence: 1, values: column(rows, (row) => (row % 2 === 0 ? -0 : 0.1 + row)) },
    },
    others: [
      { source: "RPM", unit: "\\x41 µ", values: column(rows, (row) => (row + 1) * 1e300) },
      { source: "", unit: "", values: column(rows, () => Number.NaN) },
      { source: 'it\'s "b"', unit: "%", values: column(rows, (row) => Number.MIN_VALUE * row) },
    ],
    preamble: { Ort: "Zürich \\n 'x'" },
    repairs: ["2 rows with too few fields: left out"],
  };
}

describe("a recording laid down as columns", () => {
  test("comes back bit for bit", async () => {
    for (const rows of [0, 1, 2048, 130_000]) {
      const recording = awkward(rows);
      const kept = await keepRecording(book, slug, "ab".repeat(32), recording);
      expect(kept).toMatchObject({ path: "recordings/first drive.csv", original: "ab".repeat(32), rows });
      expect(isDeepStrictEqual(await readKeptRecording(book, slug, kept), recording)).toBe(true);
    }
  });

  test("is what an independent reader of the format finds: values, units, ids", async () => {
    // Oracle: hyparquet 1.33.0, a reader of Apache Parquet that shares no code with the engine that wrote the file.
    const recording = awkward(70_000);
    const kept = await keepRecording(book, slug, "cd".repeat(32), recording);
    const file = await asyncBufferFromFile(join(book.folder, "jobs", slug, "recordings", `${kept.sha256}.parquet`));
    const metadata = await parquetMetadataAsync(file);
    const note = JSON.parse(metadata.key_value_metadata!.find(({ key }) => key === "fettle.recording")!.value!);
    expect(note).toMatchObject({
      schema: "fettle.recording/1",
      file: recording.file,
      original: "cd".repeat(32),
      preamble: recording.preamble,
      repairs: recording.repairs,
    });
    expect(note.columns.map((one: { name: string; unit: string }) => [one.name, one.unit])).toEqual([
      ["timeS", "s"],
      ["ect", "°C"],
      ["rpm", "rpm"],
      ["RPM (2)", "\\x41 µ"],
      ["column", ""],
      ['it\'s "b"', "%"],
    ]);
    expect(note.columns[2]).toMatchObject({ kind: "signal", signal: "rpm", source: 'Engine "speed" [1/min]', confidence: 0.93 });
    expect(metadata.schema.slice(1).map(({ type }) => type)).toEqual(new Array(6).fill("DOUBLE"));
    const rows = await parquetReadObjects({ file, compressors });
    const of = (name: string): Float64Array => Float64Array.from(rows, (row) => (row[name] as number | null) ?? Number.NaN);
    const { channels, others } = recording;
    const expected = [recording.timeS, channels.ect!.values, channels.rpm!.values, ...others.map(({ values }) => values)];
    note.columns.forEach(({ name }: { name: string }, k: number) => {
      expect(Buffer.from(of(name).buffer).equals(Buffer.from(expected[k]!.buffer))).toBe(true);
    });
  });

  test("has the same bytes each time, and is entered once", async () => {
    const first = await keepRecording(book, slug, "ef".repeat(32), awkward(5000));
    const again = await keepRecording(book, slug, "ef".repeat(32), awkward(5000));
    expect(again).toEqual(first);
    expect(readJob(book, slug).events.filter(({ kind }) => kind === "recordings.kept")).toHaveLength(1);
    expect(readdirSync(join(book.folder, "jobs", slug, "recordings"))).toEqual([`${first.sha256}.parquet`]);
  });
});

describe("columns that are damaged or missing", () => {
  const csv = `time [s],Engine speed [rpm],Coolant [°C]\n${Array.from({ length: 400 }, (_, i) => `${i / 10},${800 + (i % 50)},${60 + i / 20}`).join("\n")}\n`;
  const read = (bytes: Uint8Array): Recording => readRecording("recordings/idle.csv", bytes).recording;
  const setUp = async (): Promise<{ file: KeptFile; path: string; recording: Recording }> => {
    const [file] = addFiles(book, slug, [{ path: "recordings/idle.csv", bytes: new TextEncoder().encode(csv) }]);
    const recording = await recordingOf(book, slug, file!, read);
    const [kept] = readJob(book, slug).state.recordings;
    return { file: file!, recording, path: join(book.folder, "jobs", slug, "recordings", `${kept!.sha256}.parquet`) };
  };
  const notToBeRead = (): Recording => {
    throw new Error("the original was read although the columns are whole");
  };

  test("are not made again while they are whole", async () => {
    const { file, recording } = await setUp();
    expect(await recordingOf(book, slug, file, notToBeRead)).toStrictEqual(recording);
  });

  test("are made again from the original", async () => {
    const { file, path, recording } = await setUp();
    const whole = readFileSync(path);
    const flipped = Buffer.from(whole);
    flipped[flipped.length >> 1]! ^= 1;
    for (const damage of [flipped, whole.subarray(0, whole.length / 2), Buffer.alloc(0), undefined]) {
      if (damage === undefined) rmSync(path);
      else writeFileSync(path, damage);
      const [kept] = readJob(book, slug).state.recordings;
      await expect(readKeptRecording(book, slug, kept!)).rejects.toThrow(damage === undefined ? "is missing" : "no longer fits its hash");
      expect(await recordingOf(book, slug, file, read)).toStrictEqual(recording);
      expect(readFileSync(path).equals(whole)).toBe(true);
      expect(await recordingOf(book, slug, file, notToBeRead)).toStrictEqual(recording);
    }
    expect(readJob(book, slug).events.filter(({ kind }) => kind === "recordings.kept")).toHaveLength(1);
  });

  test("are refused in words where no original is left either", async () => {
    const { file, path } = await setUp();
    rmSync(path);
    rmSync(join(book.folder, "jobs", slug, "originals", `${file.sha256}.csv`));
    await expect(recordingOf(book, slug, file, read)).rejects.toThrow("The original of recordings/idle.csv is missing. Take it from a backup of the book.");
  });
});
