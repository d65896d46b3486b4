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

/** The last event that an undo would take away, or undefined. Events that began the job stay. */
export function lastUndoable<Event extends JournalEvent>(events: readonly Event[]): Event | undefined {
  return standing(events)
    .filter((event) => event.kind !== "job.created")
    .at(-1);
}
