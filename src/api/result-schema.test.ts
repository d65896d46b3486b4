import { describe, expect, expectTypeOf, test } from "vitest";
import type { z } from "zod";
import type { Correction, Edit, Finding, PullResult, RecordingSummary, Result, Suspect } from "../core/result/index.ts";
import {
  coherentResultSchema,
  type correctionSchema,
  type editSchema,
  type findingSchema,
  type pullSchema,
  type recordingSchema,
  resultJsonSchema,
  resultSchema,
  type suspectSchema,
} from "./result-schema.ts";

const result: Result = {
  schema: "fettle.result/1",
  edits: [
    {
      table: "VE",
      role: "air.ve",
      kind: "scaled",
      by: 1.12,
      cells: 380,
      region: [
        [0, 0],
        [18, 19],
      ],
      summary: "every cell times 1.12",
    },
  ],
  findings: [
    { check: "fuel.stoich-not-the-fuel", severity: "fix", tables: ["Stoich"], summary: "14.7 for E10", because: ["E10 wants 14.1"], do: "Correct it" },
  ],
  suspects: [
    {
      fault: "air.unmetered-leak",
      probability: 0.8,
      for: [{ text: "lean at idle", recording: "recordings/idle.csv", fromS: 1, toS: 9 }],
      against: [],
      next: "smoke test",
    },
    { fault: "healthy", probability: 0.2, for: [], against: [{ text: "trims far from zero" }] },
  ],
  corrections: [
    {
      role: "air.ve",
      sheet: "corrections/air.ve.csv",
      cellsChanged: 3,
      cellsCovered: 4,
      meanAbsChangePercent: 2,
      confidence: "corrections/air.ve.confidence.csv",
    },
  ],
  pulls: [{ file: "pulls/1.csv", standard: "SAE J1349", factor: 1.01, peakPowerKw: 200, peakPowerRpm: 5900, peakTorqueNm: 400, peakTorqueRpm: 4300 }],
  recordings: [{ file: "recordings/idle.csv", rows: 100, durationS: 10, signals: { rpm: "RPM" }, unrecognised: ["Oil temp"], repairs: [] }],
  couldNot: [],
};

test("the schema has exactly the fields of the types, and takes what they allow", () => {
  // Held by the type check of the tests.
  expectTypeOf<keyof z.infer<typeof resultSchema>>().toEqualTypeOf<keyof Result>();
  expectTypeOf<keyof z.infer<typeof editSchema>>().toEqualTypeOf<keyof Edit>();
  expectTypeOf<keyof z.infer<typeof findingSchema>>().toEqualTypeOf<keyof Finding>();
  expectTypeOf<keyof z.infer<typeof suspectSchema>>().toEqualTypeOf<keyof Suspect>();
  expectTypeOf<keyof z.infer<typeof correctionSchema>>().toEqualTypeOf<keyof Correction>();
  expectTypeOf<keyof z.infer<typeof pullSchema>>().toEqualTypeOf<keyof PullResult>();
  expectTypeOf<keyof z.infer<typeof recordingSchema>>().toEqualTypeOf<keyof RecordingSummary>();
  expect(coherentResultSchema.safeParse(result).error).toBeUndefined();
});

describe("refused, with the place", () => {
  const refusals: [string, unknown, string][] = [
    ["another schema", { ...result, schema: "fettle.result/2" }, "schema"],
    ["an unknown kind of edit", { ...result, edits: [{ ...result.edits[0], kind: "tweaked" }] }, "edits.0.kind"],
    ["an unknown severity", { ...result, findings: [{ ...result.findings[0], severity: "bad" }] }, "findings.0.severity"],
    ["NaN", { ...result, corrections: [{ ...result.corrections[0], meanAbsChangePercent: Number.NaN }] }, "corrections.0.meanAbsChangePercent"],
    ["a probability above 1", { ...result, suspects: [{ ...result.suspects[1], probability: 1.0002 }] }, "suspects.0.probability"],
    ["a missing list", { ...result, couldNot: undefined }, "couldNot"],
    ["suspects that do not sum to 1", { ...result, suspects: [result.suspects[1]] }, "suspects"],
    ["suspects without healthy", { ...result, suspects: [{ ...result.suspects[0], probability: 1 }] }, "suspects"],
  ];
  for (const [name, wrong, place] of refusals)
    test(name, () => {
      const parsed = coherentResultSchema.safeParse(wrong);
      expect(parsed.error?.issues.map((issue) => issue.path.join("."))).toEqual([place]);
    });
});

test("the JSON Schema demands the contract's fields and allows others", () => {
  const schema = resultJsonSchema() as { $schema: string; required: string[]; additionalProperties?: unknown };
  expect(schema.$schema).toBe("https://json-schema.org/draft/2020-12/schema");
  expect(schema.required).toEqual(["schema", "edits", "findings", "suspects", "corrections", "pulls", "recordings", "couldNot"]);
  expect(JSON.stringify(schema)).not.toContain('additionalProperties":false');
  expect(resultSchema.safeParse({ ...result, spareField: 1 }).success).toBe(true);
});
