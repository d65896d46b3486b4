import { createHash } from "node:crypto";
import { statSync } from "node:fs";
import type { Problem } from "../base/index.ts";
import { appendWhole, type Disk, readIfThere, sizeOf, writeWhole } from "./durable.ts";

/** One thing that happened, as one line of a journal. Lines are only ever added; an undo is a line that names the line it undoes. */
export interface JournalEvent<Kind extends string = string, Data = unknown> {
  /** Position in the journal, from 1. */
  readonly number: number;
  /** When, ISO 8601 with the offset of the writer's clock. Order comes from `number`, never from this: clocks are set back. */
  readonly at: string;
  readonly by: string;
  readonly kind: Kind;
  readonly data: Data;
  readonly why?: string;
}

export interface JournalReading {
  readonly events: readonly JournalEvent[];
  /** Damage found: a torn last line, a line whose sum does not fit. */
  readonly problems: readonly Problem[];
  /** Bytes up to and including the last whole line. */
  readonly wholeBytes: number;
  /** Whole lines, damaged ones among them. */
  readonly lines: number;
}

const SUM_LENGTH = 12;
const LINE_FEED = 10;

function sumOf(text: string): string {
  return createHash("sha256").update(text).digest("hex").slice(0, SUM_LENGTH);
}

/** A line is the sum of the event's JSON, a space and the JSON: a flipped byte shows at the next reading. */
export function lineOf(event: JournalEvent): string {
  const json = JSON.stringify(event);
  return `${sumOf(json)} ${json}\n`;
}

/**
 * Reads a journal; damage becomes problems, and every line that is whole is kept.
 * @param layout  of the book: in layout 0 lines had no sum
 */
export function readJournal(path: string, layout: number): JournalReading {
  return parseJournal(path, readIfThere(path) ?? new Uint8Array(0), layout);
}

/** As `readJournal`, from bytes at hand. */
export function parseJournal(path: string, bytes: Uint8Array, layout: number): JournalReading {
  const events: JournalEvent[] = [];
  const problems: Problem[] = [];
  const text = new TextDecoder();
  let from = 0;
  let line = 0;
  for (let at = bytes.indexOf(LINE_FEED); at >= 0; at = bytes.indexOf(LINE_FEED, from)) {
    line++;
    // Tools that sync or unpack folders between systems may have given the lines other ends.
    const end = at > from && bytes[at - 1] === 13 ? at - 1 : at;
    const read = parseLine(text.decode(bytes.subarray(from, end)), layout);
    if (read === undefined)
      problems.push({
        at: { file: path, line },
        what: layout === 0 ? "This line is damaged (it is no entry)" : "This line is damaged (its sum does not fit its text)",
        do: "It was left out; take the line from a backup of the book if it matters. Nothing else is touched",
      });
    else events.push(read);
    from = at + 1;
  }
  if (from < bytes.length)
    problems.push({
      at: { file: path, line: line + 1 },
      what: `The last line is cut off after ${bytes.length - from} bytes: a write did not finish`,
      do: "It was never confirmed and is left out; the next entry sets it aside in a file beside the journal",
    });
  return { events, problems, wholeBytes: from, lines: line };
}

function parseLine(line: string, layout: number): JournalEvent | undefined {
  if (layout === 0 && line.startsWith("{")) return eventOf(line);
  const json = line.slice(SUM_LENGTH + 1);
  if (line[SUM_LENGTH] !== " " || sumOf(json) !== line.slice(0, SUM_LENGTH)) return undefined;
  return eventOf(json);
}

function eventOf(json: string): JournalEvent | undefined {
  try {
    const event = JSON.parse(json) as Partial<JournalEvent>;
    const isWhole =
      Number.isInteger(event.number) &&
      typeof event.at === "string" &&
      typeof event.by === "string" &&
      typeof event.kind === "string" &&
      typeof event.data === "object" &&
      event.data !== null;
    return isWhole ? (event as JournalEvent) : undefined;
  } catch {
    return undefined;
  }
}

/** The journal of a book of layout 0 as layout 1 writes it: the same entries with sums. Lines that are no entries stay as they are. */
export function withSums(bytes: Uint8Array): Uint8Array {
  const lines = new TextDecoder().decode(bytes).split("\n");
  const last = lines.pop() ?? "";
  const summed = lines.map((line) => {
    const event = line.startsWith("{") ? eventOf(line.replace(/\r$/, "")) : undefined;
    return event === undefined ? `${line}\n` : lineOf(event);
  });
  return new TextEncoder().encode(summed.join("") + last);
}

/**
 * Adds an event and returns it once it is on the disk. A torn last line from an earlier crash is first set aside in a file beside the
 * journal (nothing is thrown away) and cut off.
 * @throws the disk's error when the event could not be stored; the journal is then as before
 */
export function appendEvent<Kind extends string, Data>(
  disk: Disk,
  path: string,
  entry: { readonly at: string; readonly by: string; readonly kind: Kind; readonly data: Data; readonly why?: string },
): JournalEvent<Kind, Data> {
  const event: JournalEvent<Kind, Data> = { number: lastNumber(disk, path) + 1, ...entry };
  ends.delete(path);
  appendWhole(disk, path, new TextEncoder().encode(lineOf(event)));
  ends.set(path, { ...markOf(path), number: event.number });
  return event;
}

interface End {
  readonly bytes: number;
  readonly changedMs: number;
  readonly number: number;
}

/** Where each journal ended after our own last entry: as long as the file is the same, it need not be read again. */
const ends = new Map<string, End>();

function markOf(path: string): { readonly bytes: number; readonly changedMs: number } {
  const found = statSync(path, { throwIfNoEntry: false });
  return { bytes: found?.size ?? 0, changedMs: found?.mtimeMs ?? 0 };
}

function lastNumber(disk: Disk, path: string): number {
  const known = ends.get(path);
  const mark = markOf(path);
  if (known !== undefined && known.bytes === mark.bytes && known.changedMs === mark.changedMs) return known.number;
  const reading = readJournal(path, 1);
  if (sizeOf(path) > reading.wholeBytes) setAsideTornLine(disk, path, reading.wholeBytes);
  // A damaged line keeps its number, so that no number is ever given twice.
  return reading.events.reduce((last, event) => Math.max(last, event.number), reading.lines);
}

function setAsideTornLine(disk: Disk, path: string, wholeBytes: number): void {
  const bytes = readIfThere(path)!;
  writeWhole(disk, `${path}.torn-at-${wholeBytes}`, bytes.subarray(wholeBytes));
  const fd = disk.open(path, "r+");
  try {
    disk.truncate(fd, wholeBytes);
    disk.sync(fd);
  } finally {
    disk.close(fd);
  }
}
