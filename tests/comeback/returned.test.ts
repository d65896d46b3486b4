import { expect, test } from "vitest";
import { diagnose, residualSignature } from "../../src/core/faults/index.ts";
import { observe } from "../../src/core/residuals/index.ts";
import type { FaultId } from "../../src/core/virtual-engine/index.ts";
import { comeBack, driveAgain, makePacket } from "../../src/core/virtual-engine/index.ts";

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
  const mismatch = (suspects: readonly { fault: string; probability: number }[]) => suspects.find((s) => s.fault === "fuel.injector-flow-mismatch")!.probability;
  expect(mismatch(diagnose(later).suspects)).toBeGreaterThan(0.5);
  expect(mismatch(diagnose({ ...later, earlier }).suspects)).toBeLessThan(0.2);
});
