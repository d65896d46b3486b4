import { expect, test } from "vitest";
import type { TableView } from "../../src/api/index.ts";
import { CHECKS } from "../../src/core/checks/index.ts";
import { CHAINED_CHECKS, chainOf, hasChain } from "../../src/web/inspection/chains.ts";

const curve = (role: string, cells: number[]): TableView => ({
  role,
  title: role,
  unit: "%",
  x: { name: "Torque", unit: "Nm", values: cells.map((_, i) => 50 * i) },
  asReceived: cells,
});

test("every chain belongs to a check that there is", () => {
  const known = new Set(CHECKS.map((check) => check.id));
  expect(CHAINED_CHECKS.filter((check) => !known.has(check))).toEqual([]);
});

test("a chain is drawn in the order in which the controller reckons, its weak link broken", () => {
  const picture = chainOf("trans.lockup-modulated", [curve("trans.lockup-duty-minimum", [40, 50, 60])], "metric", 900);
  expect(picture?.svg).toContain("does not");
  expect(picture?.svg).toMatch(/request: Lock-up wanted.*look-up: trans\.lockup-duty-minimum.*\(does not hold\).*effect: Slip of the clutch/);
});

test("a chain that lacks a table in its middle is not drawn: nobody could check what it tells", () => {
  expect(hasChain("idle.airflow-below-engine")).toBe(true);
  expect(chainOf("idle.airflow-below-engine", [curve("idle.base-airflow", [2, 3, 4])], "metric", 900)).toBeUndefined();
  expect(chainOf("spark.patch", [curve("spark.main", [10, 20])], "metric", 900)).toBeUndefined();
});
