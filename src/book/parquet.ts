import { mkdirSync, rmSync } from "node:fs";
import { dirname } from "node:path";
import type { DuckDBConnection } from "@duckdb/node-api";
import { UnusableInput } from "../base/index.ts";
import type { Channel, OtherColumn, Recording } from "../core/recordings/index.ts";
import { describeSignal, type SignalId } from "../core/units/index.ts";

/** What a column of the file holds, as the file's metadata tells it. */
export interface ColumnNote {
  /** Name of the column in the file. */
  readonly name: string;
  readonly kind: "time" | "signal" | "other";
  readonly signal?: SignalId;
  /** Name and unit as the original had them. */
  readonly source?: string;
  readonly unit: string;
  /** How sure recognition was, 0–1. */
  readonly confidence?: number;
}

/** What the file says about itself under the key `fettle.recording`. */
export interface RecordingNote {
  readonly schema: typeof RECORDING_SCHEMA;
  readonly file: string;
  /** Hash of the original that the columns were read from. */
  readonly original: string;
  readonly columns: readonly ColumnNote[];
  readonly preamble: Recording["preamble"];
  readonly repairs: Recording["repairs"];
}

export const RECORDING_SCHEMA = "fettle.recording/1";
export const NOTE_KEY = "fettle.recording";

/** Rows that the engine asks for and hands out at a time. */
const ROWS_A_CHUNK = 2048;
/** Rows written together: with 60 columns some 30 MB are held at once. */
const ROWS_A_GROUP = 61_440;
const MEMORY_LIMIT = "384MB";

/**
 * Writes a recording as Parquet: one DOUBLE column a channel in canonical units, "no sample" as NULL, what the columns mean in the
 * file's metadata. Same recording, same bytes (one thread, one version of the engine). When it fails, nothing is left behind; the file
 * is not yet safe from a power cut: see `settlePart`.
 *
 * @param beside    path to write at: a part, for a write cut off leaves half a file
 * @param original  hash of the file that the recording was read from
 */
export async function writeParquet(beside: string, recording: Recording, original: string): Promise<void> {
  const { notes, values } = columnsOf(recording);
  const note: RecordingNote = {
    schema: RECORDING_SCHEMA,
    file: recording.file,
    original,
    columns: notes,
    preamble: recording.preamble,
    repairs: recording.repairs,
  };
  mkdirSync(dirname(beside), { recursive: true });
  try {
    await withEngine(dirname(beside), async (connection) => {
      await offerColumns(connection, "recording", notes, values);
      const columns = notes.map(({ name }) => `case when isnan(${quoted(name)}) then null else ${quoted(name)} end as ${quoted(name)}`);
      await connection.run(
        `copy (select ${columns.join(", ")} from recording()) to ${text(beside)}
         (format parquet, compression zstd, row_group_size ${ROWS_A_GROUP}, kv_metadata {${text(NOTE_KEY)}: ${text(JSON.stringify(note))}})`,
      );
    });
  } catch (error) {
    rmSync(beside, { force: true });
    throw inCodes(error);
  }
}

/** Reads a recording that `writeParquet` wrote. @throws UnusableInput when the file is none, or says nothing about its columns */
export async function readParquet(path: string): Promise<{ readonly recording: Recording; readonly original: string }> {
  try {
    return await withEngine(dirname(path), async (connection) => {
      const note = await noteOf(connection, path);
      const values = await valuesOf(connection, path, note.columns);
      return { recording: recordingOf(note, values), original: note.original };
    });
  } catch (error) {
    if (error instanceof UnusableInput) throw error;
    throw new UnusableInput({
      at: { file: path },
      what: `The recording's columns cannot be read (${firstLine(error)})`,
      do: "They are made again from the original, which lies in the same job",
    });
  }
}

// --- between a recording and columns ----------------------------------------------------------------------------------

function columnsOf(recording: Recording): { readonly notes: readonly ColumnNote[]; readonly values: readonly Float64Array[] } {
  const notes: ColumnNote[] = [];
  const values: Float64Array[] = [];
  const taken = new Set<string>();
  const add = (wanted: string, note: Omit<ColumnNote, "name">, column: Float64Array): void => {
    notes.push({ name: freeName(wanted, taken), ...note });
    values.push(column);
  };
  add("timeS", { kind: "time", unit: "s" }, recording.timeS);
  const signals = Object.keys(recording.channels).sort() as SignalId[];
  for (const signal of signals) {
    const { source, confidence, values: column } = recording.channels[signal]!;
    add(signal, { kind: "signal", signal, source, unit: describeSignal(signal).unit, confidence }, column);
  }
  for (const { source, unit, values: column } of recording.others) add(source, { kind: "other", source, unit }, column);
  return { notes, values };
}

/** Engines of this kind tell names apart without regard to case; a name without a letter is none. */
function freeName(wanted: string, taken: Set<string>): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is taken out
  const stem = wanted.replace(/[\u0000-\u001f]/g, " ").trim() || "column";
  for (let i = 1; ; i++) {
    const name = i === 1 ? stem : `${stem} (${i})`;
    if (taken.has(name.toLowerCase())) continue;
    taken.add(name.toLowerCase());
    return name;
  }
}

function recordingOf(note: RecordingNote, values: readonly Float64Array[]): Recording {
  let timeS = new Float64Array(0);
  const channels: Partial<Record<SignalId, Channel>> = {};
  const others: OtherColumn[] = [];
  note.columns.forEach(({ kind, signal, source = "", unit, confidence = 0 }, i) => {
    const column = values[i]!;
    if (kind === "time") timeS = column as Float64Array<ArrayBuffer>;
    else if (kind === "signal" && signal !== undefined) channels[signal] = { signal, source, confidence, values: column };
    else others.push({ source, unit, values: column });
  });
  return { file: note.file, timeS, channels, others, preamble: note.preamble, repairs: note.repairs };
}

// --- the engine ---------------------------------------------------------------------------------------------------------

/** Runs work on an engine of its own that sees one folder, loads nothing and fetches nothing. Loaded only when it is needed. */
async function withEngine<T>(folder: string, work: (connection: DuckDBConnection) => Promise<T>): Promise<T> {
  const { DuckDBInstance } = await import("@duckdb/node-api");
  const instance = await DuckDBInstance.create(":memory:", {
    // One thread: the same bytes every time, and the rows in their order.
    threads: "1",
    memory_limit: MEMORY_LIMIT,
    temp_directory: "",
    autoinstall_known_extensions: "false",
    autoload_known_extensions: "false",
  });
  const connection = await instance.connect();
  try {
    await connection.run(`set allowed_directories = [${text(folder)}]`);
    await connection.run("set enable_external_access = false");
    await connection.run("set lock_configuration = true");
    return await work(connection);
  } finally {
    connection.closeSync();
    instance.closeSync();
  }
}

/** Lets the engine ask for columns chunk by chunk, so that they are never held twice. */
async function offerColumns(connection: DuckDBConnection, name: string, notes: readonly ColumnNote[], values: readonly Float64Array[]): Promise<void> {
  const { DOUBLE, DuckDBTableFunction } = await import("@duckdb/node-api");
  const rows = values[0]!.length;
  let row = 0;
  connection.registerTableFunction(
    DuckDBTableFunction.create({
      name,
      bindFunction: (bind) => {
        for (const note of notes) bind.addResultColumn(note.name, DOUBLE);
      },
      initFunction: (init) => init.setInitData({}),
      mainFunction: (_, chunk) => {
        const count = Math.min(ROWS_A_CHUNK, rows - row);
        chunk.rowCount = count;
        if (count === 0) return;
        values.forEach((column, k) => {
          const vector = chunk.getColumnVector(k);
          itemsOf(vector).set(column.subarray(row, row + count));
          vector.flush();
        });
        row += count;
      },
    }),
  );
}

async function noteOf(connection: DuckDBConnection, path: string): Promise<RecordingNote> {
  const found = await connection.runAndReadAll(`select value from parquet_kv_metadata(${text(path)}) where key = ${text(NOTE_KEY)}::blob`);
  const value = found.getRows()[0]?.[0] as { readonly bytes: Uint8Array } | undefined;
  const note = value === undefined ? undefined : (JSON.parse(new TextDecoder().decode(value.bytes)) as RecordingNote);
  if (note?.schema === RECORDING_SCHEMA) return note;
  throw new UnusableInput({
    at: { file: path },
    what: "This file does not say what its columns mean, or in a way that this program does not know",
    do: "They are made again from the original, which lies in the same job",
  });
}

async function valuesOf(connection: DuckDBConnection, path: string, notes: readonly ColumnNote[]): Promise<readonly Float64Array[]> {
  const counted = await connection.runAndReadAll(`select count(*)::integer from read_parquet(${text(path)})`);
  const rows = counted.getRows()[0]![0] as number;
  const values = notes.map(() => new Float64Array(rows));
  const columns = notes.map(({ name }, k) => `coalesce(${quoted(name)}::double, 'NaN'::double) as c${k}`);
  const result = await connection.stream(`select ${columns.join(", ")} from read_parquet(${text(path)})`);
  for (let row = 0; row < rows; ) {
    const chunk = await result.fetchChunk();
    if (chunk === null || chunk.rowCount === 0) throw new Error(`only ${row} of ${rows} rows could be read`);
    values.forEach((column, k) => {
      column.set(itemsOf(chunk.getColumnVector(k)).subarray(0, chunk.rowCount), row);
    });
    row += chunk.rowCount;
  }
  return values;
}

/** The numbers of a chunk's column themselves: the types keep them private, and one value at a time would take a hundred times as long. */
function itemsOf(vector: object): Float64Array {
  return (vector as { readonly items: Float64Array }).items;
}

function quoted(name: string): string {
  return `"${name.replaceAll('"', '""')}"`;
}

function text(value: string): string {
  return `'${value.replaceAll("'", "''")}'`;
}

/** The engine tells of a full disk in words; the book speaks of it by the system's code. */
function inCodes(error: unknown): unknown {
  const message = error instanceof Error ? error.message : String(error);
  const code = /No space left/i.test(message)
    ? "ENOSPC"
    : /Read-only file system/i.test(message)
      ? "EROFS"
      : /Permission denied/i.test(message)
        ? "EACCES"
        : undefined;
  return code === undefined ? error : Object.assign(new Error(message), { code });
}

function firstLine(error: unknown): string {
  const message = error instanceof Error ? error.message : String(error);
  return message
    .split("\n")[0]!
    .replaceAll(/\/\S*\//g, "")
    .slice(0, 160);
}
