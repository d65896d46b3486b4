import { describe, expect, test } from "vitest";
import type { Result } from "../../src/core/result/index.ts";
import { difference, linesOf } from "../../tools/compare.mjs";
import { isMemberId, memberFile, memberText } from "../../tools/new.mjs";
import { FAMILIES, membersOf, registryText } from "../../tools/registries.mjs";
import { isMember } from "../../tools/scan.mjs";

describe("a new member", () => {
  test.each(["check", "fault", "correction"])("of kind %s is recognised as one where it lies", (kind) => {
    const id = "trans.shift-time-zero";
    const text = memberText(kind, id);
    expect(isMember(text)).toBe(true);
    const file = memberFile(kind, id);
    const family = FAMILIES.find(({ folder }) => file.startsWith(folder))!;
    expect(membersOf(family, { [file]: text })).toEqual([{ id, file: "./trans/shift-time-zero.ts" }]);
  });

  test.each(["", "trans", "trans.", "Trans.x", "trans.shift.time", "trans.shift_time", "../x.y"])("cannot be called %j", (id) => {
    expect(isMemberId(id)).toBe(false);
  });
});

describe("a registry", () => {
  const checks = FAMILIES[0]!;

  test("lists members in order of id, whatever the order of files", () => {
    const member = (id: string) => `export default defineCheck({\n  id: "${id}",\n});`;
    const files = {
      "core/checks/trans/b.ts": member("trans.b"),
      "core/checks/air/a-c.ts": member("air.a-c"),
      "core/checks/define.ts": "export function defineCheck() {}",
    };
    const text = registryText(checks, membersOf(checks, files));
    expect(text).toContain('import airAC from "./air/a-c.ts";\nimport type { Check } from "./define.ts";\nimport transB from "./trans/b.ts";');
    expect(text).toContain("[airAC, transB]");
  });

  test("refuses a path that does not say the id", () => {
    const files = { "core/checks/air/a.ts": 'export default defineCheck({ id: "air.b" });' };
    expect(() => membersOf(checks, files)).toThrow('src/core/checks/air/a.ts: the path says "air.a", the file says "air.b": they must agree');
  });
});

describe("a comparison of results", () => {
  const result = {
    edits: [{ table: "VE", kind: "scaled", by: 1.12 }],
    findings: [],
    suspects: [
      { fault: "healthy", probability: 0.97 },
      { fault: "air.meter-low", probability: 0.004 },
    ],
    corrections: [],
    pulls: [],
    recordings: [],
    couldNot: [],
  } as unknown as Result;

  test("shows what went and what came, and is silent where nothing did", () => {
    const after = { ...result, edits: [{ table: "VE", kind: "reshaped" }] } as unknown as Result;
    expect(difference(linesOf(result), linesOf(after))).toEqual(["- edit VE: scaled 1.12", "+ edit VE: reshaped"]);
    expect(difference(linesOf(result), linesOf(result))).toEqual([]);
  });

  test("shows a packet that could not be answered before", () => {
    expect(difference(linesOf("status 1: intake.json: not found."), linesOf(result))).toEqual([
      "- no result: status 1: intake.json: not found.",
      "+ edit VE: scaled 1.12",
      "+ suspect healthy: 97 %",
    ]);
  });
});
