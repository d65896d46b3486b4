import { expect, test } from "vitest";
import { calibrationOf, type Table } from "../tables/index.ts";
import { explainEdits } from "./index.ts";

const trim = (value: number): Table => ({ title: "Long-term fuel trim", role: "fuel.long-trim-enabled", unit: "0/1", cells: Float64Array.of(value) });

test("a switch is on or off, not a number", () => {
  const [off] = explainEdits(calibrationOf([trim(0)]), calibrationOf([trim(1)]));
  expect(off?.summary).toContain("on became off");
  const [on] = explainEdits(calibrationOf([trim(1)]), calibrationOf([trim(0)]));
  expect(on?.summary).toContain("off became on");
});
