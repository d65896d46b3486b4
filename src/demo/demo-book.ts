import { existsSync, rmSync } from "node:fs";
import { join } from "node:path";
import { type Book, type BookEvents, createBook, createJob, jobFolder, openBook, readBookJournal, recordBookEvent, standing } from "../book/index.ts";
import { type DemoVehicle, handOf } from "./hand.ts";
import { DELIVERY_VAN } from "./vehicles/delivery-van.ts";
import { ESTATE_WAGON } from "./vehicles/estate-wagon.ts";
import { HARBOUR_UTILITY } from "./vehicles/harbour-utility.ts";
import { MAIL_VAN } from "./vehicles/mail-van.ts";
import { RALLY_HATCHBACK } from "./vehicles/rally-hatchback.ts";

/** In the order in which they are made: what is there at once first, the longest story last. */
export const DEMO_VEHICLES: readonly DemoVehicle[] = [MAIL_VAN, DELIVERY_VAN, ESTATE_WAGON, RALLY_HATCHBACK, HARBOUR_UTILITY];

interface Mark {
  readonly today: string;
  readonly whole: readonly string[];
}

/** What the book's own journal says of it: that it is a demo, of which day, and which vehicles are told to their end. */
function markOf(book: Book): Mark | undefined {
  const events = standing(readBookJournal(book).events);
  const began = events.find((event) => event.kind === "demo.began")?.data as BookEvents["demo.began"] | undefined;
  if (began === undefined) return undefined;
  const told = events.filter((event) => event.kind === "demo.told").map((event) => (event.data as BookEvents["demo.told"]).job);
  return { today: began.today, whole: told };
}

/** Whether a book is the demo. */
export function isDemoBook(book: Book): boolean {
  return markOf(book) !== undefined;
}

/** Whether all vehicles of a demo book are there. */
export function isDemoWhole(book: Book): boolean {
  return markOf(book)?.whole.length === DEMO_VEHICLES.length;
}

/**
 * Lays an empty demo book down where there is none. Its jobs come by `fillDemoBook`.
 * @param today  date the scenario ends on, as 2026-03-14
 * @throws UnusableInput when the folder holds something else
 */
export function beginDemoBook(folder: string, today: string): void {
  if (existsSync(join(folder, "book.json"))) return;
  const book = createBook(folder, { by: "demo", now: () => `${today}T07:30:00.000Z` });
  recordBookEvent(book, "demo.began", { today });
  recordBookEvent(book, "shop.named", { name: "Quayside calibration" });
}

/**
 * Makes the vehicles that are not whole yet, by the calls by which a person's entries are made; the same day makes the same book. One
 * that was cut off half-way is made anew.
 */
export async function fillDemoBook(
  folder: string,
  onProgress: (text: string, share: number) => void = () => {},
  vehicles: readonly DemoVehicle[] = DEMO_VEHICLES,
): Promise<void> {
  const mark = markOf(openBook(folder, { by: "demo", now: () => "" }));
  if (mark === undefined) throw new Error(`${folder} holds no demo book`);
  for (const [i, vehicle] of vehicles.entries()) {
    const slug = slugOf(vehicle.title);
    if (mark.whole.includes(slug)) continue;
    const say = (text: string): void => onProgress(`vehicle ${i + 1} of ${vehicles.length}: ${text}`, i / vehicles.length);
    const hand = handOf(folder, { today: mark.today, say });
    rmSync(jobFolder(hand.book, slug), { recursive: true, force: true });
    hand.at(...vehicle.came);
    await vehicle.tell(createJob(hand.book, vehicle), hand);
    recordBookEvent(hand.book, "demo.told", { job: slug });
  }
  onProgress("the demo book is whole", 1);
}

/** The short name that a new book gives the job. */
function slugOf(title: string): string {
  return title
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "");
}
