import { describe, expect, it } from "vitest";
import { CHECKS, type CheckExample, runChecks } from "../../src/core/checks/index.ts";
import type { Finding, Intake } from "../../src/core/result/index.ts";
import { calibrationOf, type Table } from "../../src/core/tables/index.ts";

const FIXED_IDS = [
  "air.meter-only",
  "air.ve-not-the-engine",
  "driveline.axle-mismatch",
  "fuel.full-load-too-lean",
  "fuel.injector-flow-implausible",
  "fuel.injector-flow-shape",
  "fuel.long-trim-off",
  "fuel.stoich-not-the-fuel",
  "idle.airflow-below-engine",
  "limit.over-mechanical",
  "spark.above-factory",
  "spark.patch",
  "tables.not-comparable",
  "torque.reduction-without-effect",
  "trans.lockup-modulated",
  "trans.pressure-over-ceiling",
  "trans.shift-time-zero",
];

const engine = { displacementL: 5, cylinders: 8 };

function frozen(tables: readonly Table[]): Table[] {
  return tables.map((t) => Object.freeze({ ...t }));
}

function run(example: CheckExample, turned = false): { findings: Finding[]; couldNot: string[] } {
  const order = (tables: readonly Table[]): Table[] => frozen(turned ? [...tables].reverse() : tables);
  const intake: Intake = { engine, ...example.intake };
  return runChecks({
    calibration: calibrationOf(order(example.tables)),
    reference: example.reference === undefined ? undefined : calibrationOf(order(example.reference)),
    intake: Object.freeze(intake),
    observations: [],
    warmIdles: example.warmIdle === undefined ? [] : [example.warmIdle],
  });
}

it("registers every check that the contract names, in order of id", () => {
  expect(CHECKS.map((c) => c.id)).toEqual(expect.arrayContaining(FIXED_IDS));
  expect(CHECKS.map((c) => c.id)).toEqual([...CHECKS.map((c) => c.id)].sort());
});

for (const check of CHECKS)
  describe(check.id, () => {
    const of = (findings: readonly Finding[]): Finding[] => findings.filter((f) => f.check === check.id);

    it("says everything about itself", () => {
      for (const text of [check.title, check.why, check.do, check.severityRule ?? "", ...check.sources]) expect(text).not.toMatch(/^\s|\s$/);
      expect(check.title.length).toBeGreaterThan(10);
      expect(check.why.length).toBeGreaterThan(60);
      expect(check.do.length).toBeGreaterThan(20);
      expect(check.sources.length).toBeGreaterThan(0);
      expect(check.examples.fires.length).toBeGreaterThan(0);
      expect(check.examples.silent.length).toBeGreaterThan(0);
    });

    it.each(check.examples.fires.map((example, i) => [example.title ?? `example ${i + 1}`, example] as const))("fires: %s", (_title, example) => {
      const found = of(run(example).findings);
      expect(found.length).toBeGreaterThan(0);
      for (const finding of found) {
        expect(finding.because.length).toBeGreaterThan(0);
        expect(finding.because.some((b) => /\d/.test(b) || /zero/.test(b) || /reference/.test(b))).toBe(true);
        expect(finding.summary.length).toBeGreaterThan(15);
        expect(finding.do.length).toBeGreaterThan(15);
      }
    });

    it.each(check.examples.silent.map((example, i) => [example.title ?? `example ${i + 1}`, example] as const))("is silent: %s", (_title, example) => {
      expect(of(run(example).findings)).toEqual([]);
    });

    it("does not care for the order of tables and leaves its input as it was", () => {
      for (const example of check.examples.fires) {
        const before = JSON.stringify(example);
        expect(of(run(example, true).findings)).toEqual(of(run(example).findings));
        expect(JSON.stringify(example)).toBe(before);
      }
    });

    it("says what it lacks instead of failing", () => {
      const nothing = runChecks({ calibration: calibrationOf([]), reference: undefined, intake: { engine }, observations: [] });
      expect(nothing.findings).toEqual([]);
      expect(nothing.couldNot.filter((line) => line.startsWith(`check ${check.id}: `))).toHaveLength(1);
    });
  });
