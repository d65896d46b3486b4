import type { JournalEvent } from "./journal.ts";

/**
 * The events that stand: an `undone` event takes away the event that it names, and an undone `undone` brings it back.
 * Later events decide first, so that a chain of undo and redo comes out as the person last left it.
 */
export function standing<Event extends JournalEvent>(events: readonly Event[]): readonly Event[] {
  const gone = new Set<number>();
  for (let i = events.length - 1; i >= 0; i--) {
    const event = events[i]!;
    if (event.kind === "undone" && !gone.has(event.number)) gone.add((event.data as { number: number }).number);
  }
  return events.filter((event) => event.kind !== "undone" && !gone.has(event.number));
}

/** Entries that nobody made by hand: an undo passes them by. What was laid down as columns follows from the files. */
const OF_THEMSELVES: ReadonlySet<string> = new Set(["job.created", "recordings.kept"]);

/** The last event that an undo would take away, or undefined. Events that began the job stay. */
export function lastUndoable<Event extends JournalEvent>(events: readonly Event[]): Event | undefined {
  return standing(events)
    .filter((event) => !OF_THEMSELVES.has(event.kind))
    .at(-1);
}

/**
 * The undo that a redo would take back: the last one that stands, as long as nothing but undoing and redoing came after it; else
 * undefined (what was entered since may rest on what was undone).
 */
export function redoable<Event extends JournalEvent>(events: readonly Event[]): JournalEvent<"undone", { readonly number: number }> | undefined {
  const undone = new Set<number>();
  for (let i = events.length - 1; i >= 0; i--) {
    const event = events[i]!;
    if (OF_THEMSELVES.has(event.kind)) continue;
    if (event.kind !== "undone") return undefined;
    const target = (event.data as { number: number }).number;
    if (undone.has(event.number)) continue;
    if (events.find((other) => other.number === target)?.kind !== "undone") return event as JournalEvent as JournalEvent<"undone", { readonly number: number }>;
    undone.add(target);
  }
  return undefined;
}
