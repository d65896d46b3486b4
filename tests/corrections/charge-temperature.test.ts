import { describe, expect, test } from "vitest";
import { type CorrectionProposal, proposeCorrections } from "../../src/core/corrections/index.ts";
import { type Observations, observe } from "../../src/core/residuals/index.ts";
import type { Suspect } from "../../src/core/result/index.ts";
import { type Calibration, calibrationOf, lookUpCurve, withCells } from "../../src/core/tables/index.ts";
import { driveAgain, type MadePacket, makePacket } from "../../src/core/virtual-engine/index.ts";

/** Vehicles of the project's own virtual engine whose drive begins cold and whose controller reckons by speed and density. */
const SEEDS = [970_012, 970_026];
const WARM = { intakeK: 300, aboveK: 62 };
/** 0.287 kJ/(kg K): dry air. @source formula-sheet; PH-01 */
const GAS_CONSTANT = 0.28705;

/** The blend times a factor, and VE moved so that the warm engine keeps its air: what a hand leaves that fitted VE on a warm engine only. */
function withBlend({ packet }: MadePacket, factor: number): Calibration {
  const { asReceived, intake } = packet;
  const blend = asReceived!.byRole["air.charge-temperature-blend"]!;
  const ve = asReceived!.byRole["air.ve"]!;
  const columns = ve.x!.values.length;
  const moved = ve.cells.map((cell, k) => {
    const [rpm, kpa] = [ve.x!.values[k % columns]!, ve.y!.values[Math.floor(k / columns)]!];
    const flow = ((cell / 100) * kpa * intake.engine.displacementL * rpm) / (120 * GAS_CONSTANT * (WARM.intakeK + 0.2 * WARM.aboveK));
    const share = lookUpCurve(blend, flow);
    return (cell * (WARM.intakeK + factor * share * WARM.aboveK)) / (WARM.intakeK + share * WARM.aboveK);
  });
  return calibrationOf(
    asReceived!.tables.map((table) =>
      table === ve
        ? withCells(ve, moved)
        : table === blend
          ? withCells(
              blend,
              blend.cells.map((share) => factor * share),
            )
          : table,
    ),
  );
}

function propose(
  { packet }: MadePacket,
  calibration: Calibration,
  observations: readonly Observations[],
  suspects: readonly Suspect[] = [],
): { proposals: readonly CorrectionProposal[]; couldNot: readonly string[] } {
  return proposeCorrections({ calibration, reference: packet.reference, intake: packet.intake, observations, suspects, findings: [] });
}

const of = (proposals: readonly CorrectionProposal[], role: string): CorrectionProposal | undefined => proposals.find((each) => each.role === role);

describe.each(SEEDS)("the charge's heating, vehicle %i", (seed) => {
  const made = makePacket(seed);
  const calibration = withBlend(made, 1.8);
  const { recordings } = driveAgain(made, calibration, seed + 1);
  const observations = recordings.map((recording) => observe(recording, calibration, made.packet.intake));

  test("a blend that is too strong is told from the warm-up, and VE follows it so that the warm engine keeps its air", () => {
    const { proposals } = propose(made, calibration, observations);
    const blend = of(proposals, "air.charge-temperature-blend")!;
    const ve = of(proposals, "air.ve")!;
    const best = blend.coverage.indexOf(blend.coverage.reduce((a, b) => Math.max(a, b)));
    const ratio = blend.after.cells[best]! / blend.before.cells[best]!;
    expect(ratio).toBeGreaterThan(0.4);
    expect(ratio).toBeLessThan(0.75);
    expect(Math.abs(blend.after.cells[best]! - blend.before.cells[best]! / 1.8)).toBeLessThan(3 * blend.sd[best]! + 0.1 * blend.before.cells[best]!);
    // Less heat, colder charge, more air: VE has to come down by the same share where the engine ran.
    const driven = ve.before.cells
      .map((_, k) => (ve.coverage[k]! > 5 ? Math.log(ve.after.cells[k]! / ve.before.cells[k]!) : Number.NaN))
      .filter((ln) => !Number.isNaN(ln));
    expect(driven.reduce((a, b) => a + b, 0) / driven.length).toBeLessThan(-0.01);
    expect(blend.why).toContain("accept both or neither");
    expect(ve.why).toContain("accept both or neither");
  });

  test("the blend as the maker left it is left alone", () => {
    const own = made.packet.asReceived!;
    const seen = made.packet.recordings.map((recording) => observe(recording, own, made.packet.intake));
    const { proposals } = propose(made, own, seen);
    expect(of(proposals, "air.charge-temperature-blend")).toBeUndefined();
  });

  test("VE that does not stand comes first", () => {
    const ve = calibration.byRole["air.ve"]!;
    const off = calibrationOf(
      calibration.tables.map((table) =>
        table === ve
          ? withCells(
              ve,
              ve.cells.map((cell) => 1.06 * cell),
            )
          : table,
      ),
    );
    const seen = driveAgain(made, off, seed + 1).recordings.map((recording) => observe(recording, off, made.packet.intake));
    const { proposals, couldNot } = propose(made, off, seen);
    expect(of(proposals, "air.charge-temperature-blend")).toBeUndefined();
    expect(couldNot.find((line) => line.startsWith("air.charge-temperature-blend"))).toContain("VE comes first");
  });

  test("a thermostat under suspicion holds the blend, and VE does not follow", () => {
    const suspects: Suspect[] = [
      { fault: "cooling.runs-cold", probability: 0.8, for: [], against: [] },
      { fault: "healthy", probability: 0.2, for: [], against: [] },
    ];
    const { proposals } = propose(made, calibration, observations, suspects);
    expect(of(proposals, "air.charge-temperature-blend")?.heldBecause).toBe("cooling.runs-cold");
    expect(of(proposals, "air.ve")?.why).not.toContain("accept both or neither");
  });
});
