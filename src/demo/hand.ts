import { addFiles, type Book, type JobEventKind, type JobEvents, openBook, readJob, recordJobEvent } from "../book/index.ts";
import type { Recording } from "../core/recordings/index.ts";
import type { Intake } from "../core/result/index.ts";
import { type Calibration, calibrationOf } from "../core/tables/index.ts";
import { DIALECTS, type MadePacket, packetFiles, recordingText } from "../core/virtual-engine/index.ts";
import { layDownRecordings, revisionSheets } from "../desk/index.ts";

/** The hand that keeps the demo book: enters what a person would, on the days on which they would have. */
export interface Hand {
  readonly book: Book;
  /** Moves the clock: so many days before the book's day, at a time of that day. */
  at(daysBefore: number, time: string): void;
  /** The date so many days before (or, negative, after) the book's day, as a person writes it into a field. */
  day(daysBefore: number): string;
  enter<Kind extends JobEventKind>(slug: string, kind: Kind, data: JobEvents[Kind], why?: string): void;
  /** Brings files as a drop would, and lays recordings down as columns. */
  bring(slug: string, files: readonly DemoFile[], revision?: number): Promise<void>;
  say(text: string): void;
}

export interface DemoFile {
  readonly path: string;
  readonly text: string;
}

/** One vehicle of the demo book, told as the entries of its job. */
export interface DemoVehicle {
  /** As it stands on the board. */
  readonly title: string;
  readonly vehicle: string;
  /** When it came: days before the book's day, and the time. */
  readonly came: readonly [daysBefore: number, time: string];
  /** State that it shows, in words. */
  readonly shows: string;
  tell(slug: string, hand: Hand): Promise<void>;
}

const DAY_MS = 86_400_000;
/** So long after another an entry is made, unless the clock is moved. */
const BETWEEN_MS = 40_000;

export function handOf(folder: string, options: { readonly today: string; readonly say: (text: string) => void }): Hand {
  let atMs = Date.parse(`${options.today}T08:00:00.000Z`);
  const todayMs = Date.parse(`${options.today}T00:00:00.000Z`);
  const now = (): string => {
    atMs += BETWEEN_MS;
    return new Date(atMs).toISOString();
  };
  const book = openBook(folder, { by: "demo", now });
  const day = (daysBefore: number): string => new Date(todayMs - daysBefore * DAY_MS).toISOString().slice(0, 10);
  return {
    book,
    at(daysBefore, time) {
      atMs = Date.parse(`${day(daysBefore)}T${time}:00.000Z`);
    },
    day,
    enter: (slug, kind, data, why) => void recordJobEvent(book, slug, kind, data, why),
    async bring(slug, files, revision) {
      const bytes = new TextEncoder();
      addFiles(
        book,
        slug,
        files.map(({ path, text }) => ({ path, bytes: bytes.encode(text), ...(revision === undefined || !isDrive(path) ? {} : { revision }) })),
      );
      await layDownRecordings(book, slug);
    },
    say: options.say,
  };
}

function isDrive(path: string): boolean {
  return /^(recordings|pulls)\//.test(path);
}

/** What the owner and the bay wrote on the intake sheet, instead of what the virtual engine makes up. */
export interface Told {
  readonly label: string;
  readonly complaint: string;
  readonly changes?: readonly string[];
  readonly dialect: string;
}

/** A made packet as the files that came with the vehicle. */
export function filesFrom(made: MadePacket, told: Told): readonly DemoFile[] {
  const { intake } = made.packet;
  const written: Intake = {
    ...intake,
    vehicle: { ...intake.vehicle, label: told.label },
    complaint: told.complaint,
    changes: told.changes ?? intake.changes ?? [],
  };
  const files = packetFiles({ ...made, packet: { ...made.packet, intake: written } }, { dialect: dialectOf(told.dialect), roles: "all" });
  return files.filter((file) => file.path !== "truth.json");
}

/** Recordings as the same logger writes them. @param folder  where they lie in the job, with the start of their name */
export function drivesFrom(recordings: readonly Recording[], told: Told, named: (file: string) => string): readonly DemoFile[] {
  const dialect = dialectOf(told.dialect);
  return recordings.map((recording) => ({ path: named(recording.file), text: recordingText(recording, dialect) }));
}

function dialectOf(id: string) {
  const dialect = DIALECTS.find((known) => known.id === id);
  if (dialect === undefined) throw new RangeError(`there is no dialect "${id}"`);
  return dialect;
}

/** A revision's tables, as they went into the controller. */
export function revisionTables(hand: Hand, slug: string, revision: number): Calibration {
  return calibrationOf(revisionSheets(hand.book, readJob(hand.book, slug).state, revision).map((sheet) => sheet.table));
}

/** Number of the wait that a job has lain in since last. */
export function openWait(hand: Hand, slug: string): number {
  const wait = readJob(hand.book, slug).state.waits.at(-1);
  if (wait === undefined) throw new Error(`${slug} waits for nothing`);
  return wait.number;
}
