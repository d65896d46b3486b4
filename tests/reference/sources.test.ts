import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { rowsOf } from "./rows.ts";

const root = new URL("../../", import.meta.url);
const text = (path: string): string => readFileSync(new URL(path, root), "utf8");
const files = readdirSync(new URL("src/", root), { recursive: true, encoding: "utf8" })
  .filter((path) => /\.tsx?$/.test(path))
  .map((path) => `src/${path}`)
  .sort();

const keys = new Set([...text("docs/sources.md").matchAll(/^\| `([a-z0-9-]+)` \|/gm)].map((match) => match[1]!));
const sheets = ["physics-checks.csv", "air-and-power.csv", "stoich.csv", "obd-pids.csv", "rules-of-thumb.csv", "trade-facts.csv", "dtc.csv", "terms.csv"];
const rowIds = new Set(sheets.flatMap((sheet) => rowsOf(sheet).map((row) => row.id!)));
for (const row of rowsOf("physics-checks.csv")) rowIds.add(row.section!);
for (const match of text("tests/reference/data/cautions.md").matchAll(/CA-\d+/g)) rowIds.add(match[0]);

const ROW = /\b(?:PH|AP|ST|RT|CA|OBD|DTC|TM)-[A-Za-z0-9.-]*[A-Za-z0-9]/g;

/** Row ids anywhere in the line; of what stands before the first ";" or ":" each comma's first word is a key. */
function citationsOf(line: string): { readonly rows: readonly string[]; readonly keys: readonly string[] } {
  const rows = line.match(ROW) ?? [];
  const head = line.replace(/\([^)]*\)/g, "").split(/[;:]|\*\//)[0]!;
  const words = head.split(",").map((part) => part.trim().split(/\s+/)[0]!.replace(/\.$/, ""));
  return { rows, keys: words.filter((word) => word !== "" && !/^[A-Z]+-/.test(word)) };
}

describe("sources", () => {
  const cited = files.flatMap((file) =>
    text(file)
      .split("\n")
      .filter((line) => line.includes("@source "))
      .map((line) => ({ file, ...citationsOf(line.slice(line.indexOf("@source ") + 8)) })),
  );

  it("are cited at all", () => expect(cited.length).toBeGreaterThan(50));

  it("have no key that leads nowhere", () => {
    expect(cited.flatMap(({ file, keys: words }) => words.filter((word) => !keys.has(word)).map((word) => `${file}: ${word}`))).toEqual([]);
  });

  it("have no row that does not exist", () => {
    expect(cited.flatMap(({ file, rows }) => rows.filter((row) => !rowIds.has(row)).map((row) => `${file}: ${row}`))).toEqual([]);
  });

  it("of checks, faults, corrections and standards are keys or rows", () => {
    const dead = files
      .filter((file) => !file.endsWith(".test.ts"))
      .flatMap((file) =>
        [...text(file).matchAll(/\bsources: \[([^\]]*)\]/g)].flatMap((list) =>
          [...list[1]!.matchAll(/"([^"]+)"/g)].map((word) => ({ file, word: word[1]!.replace(/ \(.*$/, "").split(";")[0]! })),
        ),
      )
      .filter(({ word }) => !keys.has(word) && !rowIds.has(word));
    expect(dead.map(({ file, word }) => `${file}: ${word}`)).toEqual([]);
  });

  it("stand in order, each once", () => {
    const listed = [...text("docs/sources.md").matchAll(/^\| `([a-z0-9-]+)` \|/gm)].map((match) => match[1]!);
    expect(listed).toEqual([...new Set(listed)].sort());
  });

  it("finds a key that leads nowhere", () => {
    expect(citationsOf("heywood-1988 (from memory), nowhere-2001; PH-01a */")).toEqual({ rows: ["PH-01a"], keys: ["heywood-1988", "nowhere-2001"] });
  });
});
