import { FAULT_STORIES } from "../core/faults/index.ts";
import type { Suspect } from "../core/result/index.ts";
import { wrapped } from "./text.ts";

/** A suspect as diagnose and comeback print it: probability, sizes, evidence, deciding test. */
export function suspectText(suspect: Suspect): string {
  const title = FAULT_STORIES.find((story) => story.id === suspect.fault)?.title ?? suspect.fault;
  const sizes = (suspect.sizes ?? []).map((size) => `${size.name} ${digits(size.value)} ${size.unit} (${digits(size.low)} to ${digits(size.high)})`);
  return [
    wrapped(`${String(Math.round(100 * suspect.probability)).padStart(3)} %  ${title} (${suspect.fault})`, 7, 0),
    ...sizes.map((size) => wrapped(size, 9, 7)),
    ...suspect.for.map((evidence) => wrapped(`+ ${evidence.text}`, 9, 7)),
    ...suspect.against.map((evidence) => wrapped(`- ${evidence.text}`, 9, 7)),
    ...(suspect.next === undefined ? [] : [wrapped(`Next: ${suspect.next}`, 13, 7)]),
  ].join("\n");
}

/** Suspects worth a line: the leader, and whatever is not out of the question. */
export function worthALine(suspects: readonly Suspect[]): readonly Suspect[] {
  return suspects.filter((suspect, i) => i === 0 || suspect.probability >= 0.02);
}

export function digits(value: number): string {
  return String(Number(value.toPrecision(3)));
}
