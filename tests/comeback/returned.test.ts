import { expect, test } from "vitest";
import { compareWithSignature, readSignature, signatureOf, writeSignature } from "../../src/core/comeback/index.ts";
import { diagnose, residualSignature } from "../../src/core/faults/index.ts";
import { observe } from "../../src/core/residuals/index.ts";
import { withCells } from "../../src/core/tables/index.ts";
import type { FaultId } from "../../src/core/virtual-engine/index.ts";
import { comeBack, driveAgain, makePacket, replaceTables } from "../../src/core/virtual-engine/index.ts";

// Truth from outside the method: the virtual vehicle knows what has failed since it left. Population figures stand in docs/validation/comeback.md.

function suspectsOnReturn(seed: number, fault?: { id: FaultId; severity: number }) {
  const made = makePacket(seed);
  const { intake, asReceived: calibration, reference } = made.packet;
  const leaving = driveAgain(made, calibration!, seed + 1);
  const earlier = residualSignature({
    observations: leaving.recordings.map((recording) => observe(recording, calibration, intake)),
    calibration,
    reference,
    intake,
  });
  const back = comeBack(made, seed + 2, { calibration: calibration!, ...(fault === undefined ? {} : { fault: fault.id, severity: fault.severity }) });
  const observations = back.packet.recordings.map((recording) => observe(recording, calibration, back.packet.intake));
  return diagnose({ observations, calibration, reference, intake: back.packet.intake, earlier }).suspects;
}

test.each([
  { seed: 4101, id: "air.unmetered-leak", severity: 0.6 },
  { seed: 4102, id: "fuel.injector-flow-mismatch", severity: 0.6 },
  { seed: 4103, id: "cooling.runs-cold", severity: 0.8 },
] as const)("what failed since the vehicle left is among the first two: $id", ({ seed, id, severity }) => {
  const leading = suspectsOnReturn(seed, { id, severity }).slice(0, 2);
  expect(leading.map((suspect) => suspect.fault)).toContain(id);
});

test("weather, another tank and another drive are not a fault", () => {
  expect(suspectsOnReturn(4104)[0]?.fault).toBe("healthy");
});

test("what was odd and stayed is not named again", () => {
  const made = makePacket(4105, { faults: [{ id: "fuel.injector-flow-mismatch", severity: 0.4 }] });
  const { intake, asReceived: calibration, reference } = made.packet;
  const seen = (recordings: Parameters<typeof observe>[0][]) => ({
    observations: recordings.map((recording) => observe(recording, calibration, intake)),
    calibration,
    reference,
    intake,
  });
  const earlier = residualSignature(seen([...driveAgain(made, calibration!, 1).recordings]));
  const later = seen([...driveAgain(made, calibration!, 2).recordings]);
  const mismatch = (suspects: readonly { fault: string; probability: number }[]) =>
    suspects.find((s) => s.fault === "fuel.injector-flow-mismatch")!.probability;
  expect(mismatch(diagnose(later).suspects)).toBeGreaterThan(0.5);
  expect(mismatch(diagnose({ ...later, earlier }).suspects)).toBeLessThan(0.2);
});

test("a comparison says which figures moved and whose tables are in the controller", () => {
  const made = makePacket(4106, { wideband: true });
  const { intake, asReceived: calibration, reference } = made.packet;
  const leaving = driveAgain(made, calibration!, 4107);
  const leftWith = signatureOf({
    observations: leaving.recordings.map((recording) => observe(recording, calibration, intake)),
    calibration,
    reference,
    intake,
  });
  const kept = readSignature(writeSignature(leftWith));
  expect(kept).toEqual(leftWith);
  const back = comeBack(made, 4108, { calibration: calibration!, fault: "cooling.runs-cold", severity: 0.9 });
  const now = { observations: back.packet.recordings.map((recording) => observe(recording, calibration, back.packet.intake)), calibration, reference, intake };
  const comparison = compareWithSignature(kept, now, calibration);
  expect(comparison.calibration).toMatchObject({ verdict: "still ours", cellsChanged: 0, changed: [], missing: [] });
  const coolant = comparison.moved.find((moved) => moved.id === "coolant")!;
  expect(coolant.spreads).toBeLessThan(-2);
  const rest = comparison.moved.filter((moved) => !["coolant", "knock-retard"].includes(moved.id));
  expect(rest.filter((moved) => Math.abs(moved.spreads) > 3).map((moved) => moved.id)).toEqual([]);

  const ve = calibration!.byRole["air.ve"]!;
  const retouched = replaceTables(calibration!, {
    "air.ve": withCells(
      ve,
      ve.cells.map((cell, k) => (k < 20 ? cell * 1.05 : cell)),
    ),
  });
  const other = compareWithSignature(kept, { ...now, calibration: retouched }, calibration);
  expect(other.calibration.changed.map((edit) => edit.role)).toEqual(["air.ve"]);
  expect(other.basis).toBe("these recordings alone");
});

test("a text that is no signature is refused", () => {
  expect(() => readSignature("{}")).toThrow("not a handover signature");
});
