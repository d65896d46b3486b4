import { describe, expect, test } from "vitest";
import { findBreaches, findIdleDebt, type Rooms, readRooms, readSources } from "../../tools/rooms.mjs";
import { scanImports, scanImpure } from "../../tools/scan.mjs";

const rooms = readRooms();

function breachTexts(files: Record<string, string>, table: Rooms = rooms): string[] {
  return findBreaches(table, files).map((breach) => `${breach.file}:${breach.line} ${breach.text}`);
}

describe("the rooms of src", () => {
  const files = readSources(new URL("../../src/", import.meta.url).pathname);

  test("there are sources to look at", () => {
    expect(Object.keys(files).length).toBeGreaterThan(50);
  });

  test("nobody imports against the table", () => {
    expect(breachTexts(files)).toEqual([]);
  });

  test("every debt is needed and has a reason", () => {
    expect(findIdleDebt(rooms, files)).toEqual([]);
  });

  test("the table has no circles: of two rooms, one at most imports the other", () => {
    for (const [room, allowed] of Object.entries(rooms.rooms))
      for (const other of allowed) expect(rooms.rooms[other] ?? [], `${other} and ${room} import each other`).not.toContain(room);
  });
});

describe("the rule finds", () => {
  const breachesByName: Record<string, { files: Record<string, string>; says: string }> = {
    "an import against the direction": {
      files: { "core/units/a.ts": 'import { lookUp } from "../tables/index.ts";' },
      says: "core/units may not import core/tables",
    },
    "an import for types only": {
      files: { "drawing/a.ts": 'import type { Table } from "../core/tables/index.ts";' },
      says: "drawing may not import core/tables",
    },
    "a re-export": { files: { "core/units/a.ts": 'export { a as b } from "../tables/index.ts";' }, says: "may not import core/tables" },
    "a star re-export": { files: { "core/units/a.ts": 'export * as t from "../tables/index.ts";' }, says: "may not import core/tables" },
    "an import for effects": { files: { "core/units/a.ts": 'import "../tables/index.ts";' }, says: "may not import core/tables" },
    "an import while running": {
      files: { "core/units/a.ts": 'export const t = async () => (await import("../tables/index.ts")).lookUp;' },
      says: "may not import core/tables",
    },
    "an import of a computed name": { files: { "core/units/a.ts": "export const t = (n: string) => import(n);" }, says: "computed name" },
    "an import over several lines": {
      files: { "core/units/a.ts": 'import {\n  lookUp, // the look-up\n  type Table,\n} from "../tables/index.ts";' },
      says: "core/units/a.ts:1 core/units may not import core/tables",
    },
    "a way around the index": {
      files: { "core/tables/a.ts": 'import { SIGNALS } from "../units/signals.ts";' },
      says: "entered through its index.ts only",
    },
    "a package that the room has no leave for": { files: { "core/units/a.ts": 'import { z } from "zod";' }, says: 'the package "zod"' },
    "Node in a room of bytes": { files: { "formats/a.ts": 'import fs from "node:fs";' }, says: 'the package "node:fs"' },
    "a way out of src": { files: { "core/units/a.ts": 'import x from "../../../tools/x.ts";' }, says: "leads out of src" },
    "a folder that is no room": { files: { "helpers/a.ts": "export const a = 1;" }, says: "lies in no room" },
    "members that know each other": {
      files: {
        "core/checks/air/a.ts": 'import b from "../fuel/b.ts";\nexport default defineCheck({ id: "air.a" });',
        "core/checks/fuel/b.ts": 'export default defineCheck({ id: "fuel.b" });',
      },
      says: "members of core/checks never import each other",
    },
    "the clock": { files: { "core/job/a.ts": "export const t = Date.now();" }, says: "Date.now in a pure room" },
    "unseeded chance": { files: { "report/a.ts": "export const t = Math.random();" }, says: "Math.random in a pure room" },
    "today's date": { files: { "base/a.ts": "export const t = new Date();" }, says: "new Date() in a pure room" },
  };

  for (const [name, { files, says }] of Object.entries(breachesByName))
    test(name, () => {
      const found = breachTexts(files);
      expect(found).toHaveLength(1);
      expect(found[0]).toContain(says);
    });

  test("debt that has been paid back, and debt without a reason", () => {
    const debt = { from: "core/units", to: "core/tables", reason: "until the look-up moves" };
    const owing = { "core/units/a.ts": 'import { lookUp } from "../tables/index.ts";' };
    expect(breachTexts(owing, { ...rooms, debt: [debt] })).toEqual([]);
    expect(findIdleDebt({ ...rooms, debt: [debt] }, owing)).toEqual([]);
    expect(findIdleDebt({ ...rooms, debt: [debt] }, {})).toEqual([debt]);
    expect(findIdleDebt({ ...rooms, debt: [{ ...debt, reason: "" }] }, owing)).toHaveLength(1);
  });
});

describe("the rule lets pass", () => {
  test("what the table allows", () => {
    const files = {
      "core/tables/a.ts": 'import { f64 } from "../../base/index.ts";\nimport { SIGNALS } from "../units/index.ts";\nimport { b } from "./b.ts";',
      "cli/run.ts": 'import fs from "node:fs";\nimport { runJob } from "../core/job/index.ts";',
    };
    expect(breachTexts(files)).toEqual([]);
  });

  test("imports that only a comment, a string, a template or a regular expression speaks of", () => {
    const text = [
      '// import a from "../tables/index.ts";',
      '/* import b from "../tables/index.ts"; */',
      "const c = 'import d from \"../tables/index.ts\"';",
      // biome-ignore lint/suspicious/noTemplateCurlyInString: the text under test holds a template
      'const e = `import f from "../tables/index.ts" ${`Math.random() ${1}`}`;',
      'const g = /import h from "x"/.test("Date.now()");',
      "const i = 6 / 2; const j = 4 / 2;",
      "const metaUrl = import.meta.url;",
    ].join("\n");
    expect(scanImports(text)).toEqual({ imports: [], computed: [] });
    expect(scanImpure(text)).toEqual([]);
  });

  test("a date made of a given value", () => {
    expect(scanImpure("export const at = (ms: number) => new Date(ms).toISOString();")).toEqual([]);
  });
});

test("the scanner gives module name, line and kind of each import", () => {
  const text = `#!/usr/bin/env node
import a, { type B } from "./a.ts";
import type { C } from './c.ts';
export type { D } from "./d.ts";
const text = \`\${a /* } */}\`; export { a }; import * as e from "./e.ts";`;
  expect(scanImports(text).imports).toEqual([
    { specifier: "./a.ts", line: 2, isTypeOnly: false },
    { specifier: "./c.ts", line: 3, isTypeOnly: true },
    { specifier: "./d.ts", line: 4, isTypeOnly: true },
    { specifier: "./e.ts", line: 5, isTypeOnly: false },
  ]);
});
