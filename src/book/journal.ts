import { createHash } from "node:crypto";
import { formatProblem, type Problem } from "../base/index.ts";
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

function sumOf(text: string): string {
  return createHash("sha256").update(text).digest("hex").slice(0, SUM_LENGTH);
}

/** A line is the sum of the event's JSON, a space and the JSON: a flipped byte shows at the next reading. */
function lineOf(event: JournalEvent): string {
  const json = JSON.stringify(event);
  return `${sumOf(json)} ${json}\n`;
}

/** Reads a journal; damage becomes problems, and every line that is whole is kept. */
export function readJournal(path: string): JournalReading {
  const bytes = readIfThere(path) ?? new Uint8Array(0);
  const events: JournalEvent[] = [];
  const problems: Problem[] = [];
  const text = new TextDecoder();
  let from = 0;
  let line = 0;
  for (let at = 0; at < bytes.length; at++) {
    if (bytes[at] !== 10) continue;
    line++;
    const read = parseLine(text.decode(bytes.subarray(from, at)));
    if (read === undefined)
      problems.push({
        at: { file: path, line },
        what: "This line is damaged (its sum does not fit its text)",
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

function parseLine(line: string): JournalEvent | undefined {
  const json = line.slice(SUM_LENGTH + 1);
  if (line[SUM_LENGTH] !== " " || sumOf(json) !== line.slice(0, SUM_LENGTH)) return undefined;
  return JSON.parse(json) as JournalEvent;
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
  ends.set(path, { bytes: sizeOf(path), number: event.number });
  return event;
}

/** Where each journal ended after our own last entry: as long as its size is the same, it need not be read again. */
const ends = new Map<string, { readonly bytes: number; readonly number: number }>();

function lastNumber(disk: Disk, path: string): number {
  const known = ends.get(path);
  if (known !== undefined && known.bytes === sizeOf(path)) return known.number;
  const reading = readJournal(path);
  if (sizeOf(path) > reading.wholeBytes) setAsideTornLine(disk, path, reading.wholeBytes);
  // A damaged line keeps its number, so that no number is ever given twice.
  return Math.max(reading.events.at(-1)?.number ?? 0, reading.lines);
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

export function describeProblems(problems: readonly Problem[]): readonly string[] {
  return problems.map(formatProblem);
}
