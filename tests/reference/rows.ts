import { readFileSync } from "node:fs";
import { expect } from "vitest";

/** A row of a reference sheet, by column name. */
export type Row = Readonly<Record<string, string>>;

/** Rows of a sheet in `data/`: RFC 4180, first line names the columns. Kept apart from the tool's own readers on purpose. */
export function rowsOf(file: string): readonly Row[] {
  const text = readFileSync(new URL(`./data/${file}`, import.meta.url), "utf8");
  const cells: string[][] = [[]];
  let cell = "";
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const c = text[i]!;
    if (quoted && c === '"' && text[i + 1] === '"') cell += text[++i]!;
    else if (c === '"') quoted = !quoted;
    else if (!quoted && (c === "," || c === "\n")) {
      cells.at(-1)!.push(cell);
      cell = "";
      if (c === "\n") cells.push([]);
    } else if (quoted || c !== "\r") cell += c;
  }
  const [names, ...rows] = cells.filter((row) => row.length > 1);
  return rows.map((row) => Object.fromEntries(names!.map((name, i) => [name, row[i] ?? ""])));
}

/** The row with this id. @throws RangeError when there is none: the test cites a row that does not exist. */
export function rowById(rows: readonly Row[], id: string): Row {
  const row = rows.find((candidate) => candidate.id === id);
  if (row === undefined) throw new RangeError(`no row ${id}`);
  return row;
}

/** Compares with a relative or an absolute tolerance and says both numbers when it fails. */
export function expectClose(actual: number, wanted: number, tolerance: { readonly relative?: number; readonly absolute?: number }): void {
  const allowed = Math.max((tolerance.relative ?? 0) * Math.abs(wanted), tolerance.absolute ?? 0);
  expect(Math.abs(actual - wanted), `${actual} against ${wanted}`).toBeLessThanOrEqual(allowed);
}
