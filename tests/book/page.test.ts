import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";

const read = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");
const page = read("docs/shop-book.md");
const events = read("src/book/events.ts");

/** Kinds of entries that a block of the source declares, without "undone". */
function kindsOf(block: string): readonly string[] {
  const body = events.slice(events.indexOf(`export interface ${block} {`));
  return [...body.slice(0, body.indexOf("\n}")).matchAll(/^ {2}"([a-z]+\.[a-z]+)":/gm)].map((match) => match[1]!).sort();
}

/** Kinds that a table of the page explains, in the part that begins with these words. */
function explainedIn(from: string, to: string): readonly string[] {
  const part = page.slice(page.indexOf(from), page.indexOf(to));
  const firstCells = [...part.matchAll(/^\| (`[^|]+`) \|/gm)].map((match) => match[1]!);
  return firstCells.flatMap((cell) => [...cell.matchAll(/`([a-z]+\.[a-z]+)`/g)].map((match) => match[1]!)).sort();
}

describe("the page on the shop book", () => {
  test("explains every kind of entry, and none that there is not", () => {
    expect(kindsOf("JobEvents").length).toBeGreaterThan(15);
    expect(explainedIn("Entries of a job:", "Entries of the book")).toEqual(kindsOf("JobEvents"));
    expect(explainedIn("Entries of the book", "## Recordings as Parquet")).toEqual(kindsOf("BookEvents"));
  });

  test("shows a line as the journal has it", () => {
    const line = /^[0-9a-f]{12} \{.*\}$/m.exec(page)![0];
    expect(read("tests/data/books/v1/jobs/surges-when-cold/journal.ndjson").split("\n")).toContain(line);
  });
});
