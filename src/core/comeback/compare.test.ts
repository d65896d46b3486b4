import { describe, expect, test } from "vitest";
import { type Calibration, calibrationOf, curve, single } from "../tables/index.ts";
import { compareWithSignature } from "./compare.ts";
import { signatureOf } from "./signature.ts";

const intake = { engine: { displacementL: 2.5, cylinders: 4 } };
const meter = (factor: number) => ({
  ...curve(
    "air.meter-curve",
    "g/s",
    [1500, 4000, 8000, 12000],
    [2, 18, 120, 480].map((cell) => cell * factor),
  ),
  title: "Meter",
});
const limit = (rpm: number) => ({ ...single("limit.engine-speed", "rpm", rpm), title: "Limit" });
const LEFT = calibrationOf([meter(1), limit(6500)]);
const REFERENCE = calibrationOf([meter(0.9), limit(6000)]);

function since(calibration: Calibration | undefined, left: Calibration | undefined = LEFT) {
  const seen = { observations: [], calibration, reference: REFERENCE, intake };
  return compareWithSignature(signatureOf({ ...seen, calibration: LEFT }), seen, left);
}

describe("whose calibration is in a vehicle that came back", () => {
  test.each([
    ["still ours", LEFT, 0],
    ["ours but for some cells", calibrationOf([meter(1), limit(6800)]), 1],
    ["as the reference again", REFERENCE, 5],
    ["another calibration", calibrationOf([meter(1.2), limit(7000)]), 5],
    ["still ours", calibrationOf([meter(1)]), 0],
  ] as const)("%s", (verdict, calibration, cellsChanged) => {
    expect(since(calibration).calibration).toMatchObject({ verdict, cellsChanged });
  });

  test("a table that was not read is named", () => expect(since(calibrationOf([meter(1)])).calibration.missing).toEqual(["Limit"]));

  test("residuals are not held against each other over a table that bears on them, and are over one that does not", () => {
    expect(since(calibrationOf([meter(1.05), limit(6500)])).basis).toBe("these recordings alone");
    expect(since(calibrationOf([meter(1), limit(6800)])).basis).toBe("moved since");
  });

  test("nothing read: looked at as if what left were in it, and that is said", () => {
    const { basis, calibration, couldNot } = since(undefined);
    expect([basis, calibration.verdict]).toEqual(["moved since", "not known"]);
    expect(couldNot).toContain("residuals then and now rest on the tables that left, as if they were still in the controller");
  });

  test("neither known: the recordings speak alone", () => {
    const seen = { observations: [], calibration: undefined, reference: undefined, intake };
    expect(compareWithSignature(signatureOf(seen), seen, undefined).basis).toBe("these recordings alone");
  });
});
