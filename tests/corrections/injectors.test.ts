import { describe, expect, test } from "vitest";
import {
  type CorrectionProposal,
  deadTimeFromSheetMs,
  flowFromSheetGps,
  type InjectorSheet,
  impliedRatedFlowGps,
  matchInjectors,
  proposeCorrections,
} from "../../src/core/corrections/index.ts";
import { observe } from "../../src/core/residuals/index.ts";
import type { Suspect } from "../../src/core/result/index.ts";
import { curve, type Role } from "../../src/core/tables/index.ts";
import { type FaultId, makePacket } from "../../src/core/virtual-engine/index.ts";

describe("from a data sheet", () => {
  // PH-04b to PH-04e of the formula sheet (from memory): 4 g/s rated at 400 kPa, constant gauge rail of 400 kPa, vacuum 20 to 80 kPa.
  const sheet: InjectorSheet = {
    label: "A",
    ratedFlowGps: 4,
    ratedKpa: 400,
    deadTime: [
      { batteryV: 12, ms: 1.1 },
      { batteryV: 14, ms: 0.9 },
    ],
  };
  const vacuum = Float64Array.of(0, 20, 40, 60, 80);

  test("flow rises with the square root of the pressure across the injector on a constant gauge rail, and is flat on a manifold-referenced one", () => {
    const rising = flowFromSheetGps(sheet, { gaugeKpa: 400, reference: "atmosphere" }, vacuum);
    [4, 4.0988, 4.1952, 4.2895, 4.3818].forEach((gps, k) => {
      // Four decimals given.
      expect(rising[k]).toBeCloseTo(gps, 3);
    });
    expect([...flowFromSheetGps(sheet, { gaugeKpa: 400, reference: "manifold" }, vacuum)]).toEqual([4, 4, 4, 4, 4]);
  });

  test("the numbers of a table imply the rated flow they were made from, at another pressure by the same law", () => {
    const rail = { gaugeKpa: 400, reference: "atmosphere" } as const;
    const table = curve("fuel.injector-flow", "g/s", [...vacuum], [...flowFromSheetGps(sheet, rail, vacuum)]);
    expect(impliedRatedFlowGps(table, rail, 400)).toBeCloseTo(4, 9);
    // 4 · √(300/400)
    expect(impliedRatedFlowGps(table, rail)).toBeCloseTo(3.4641, 4);
  });

  test("the likeliest sheet stands first: size, then shape, then dead time", () => {
    const rail = { gaugeKpa: 400, reference: "atmosphere" } as const;
    const flow = curve(
      "fuel.injector-flow",
      "g/s",
      [...vacuum],
      [...flowFromSheetGps(sheet, rail, vacuum)].map((gps) => 1.01 * gps),
    );
    const deadTime = curve("fuel.injector-dead-time", "ms", [10, 12, 14], [1.5, 1.12, 0.91]);
    const sheets = [
      { label: "larger", ratedFlowGps: 5, ratedKpa: 400 },
      {
        ...sheet,
        label: "slow",
        deadTime: [
          { batteryV: 12, ms: 1.6 },
          { batteryV: 14, ms: 1.4 },
        ],
      },
      sheet,
    ];
    const matches = matchInjectors({ flow, deadTime }, rail, sheets);
    expect(matches.map((match) => match.sheet.label)).toEqual(["A", "slow", "larger"]);
    expect(matches[0]!.flowPercent).toBeCloseTo(1, 6);
    expect(matches[0]!.distance).toBeLessThan(2);
    expect(matches[2]!.distance).toBeGreaterThan(3);
  });

  test("dead time is read straight between the sheet's points and held beyond them", () => {
    expect([...deadTimeFromSheetMs(sheet, Float64Array.of(8, 13, 16))]).toEqual([1.1, 1, 0.9]);
    expect(deadTimeFromSheetMs({ ...sheet, deadTime: [] }, Float64Array.of(12))[0]).toBeNaN();
  });
});

describe("from a drive", { timeout: 60_000 }, () => {
  const suspect = (fault: string, probability: number): Suspect => ({ fault, probability, for: [], against: [] });
  const run = (seed: number, id: FaultId, severity: number) => {
    const { packet, truth } = makePacket(seed, {
      distortion: { ve: "none", meter: false, idle: false },
      edits: { harmless: 0, incoherent: 0 },
      faults: [{ id, severity }],
    });
    const { asReceived, reference, intake, recordings } = packet;
    const calibration = asReceived!;
    const observations = recordings.map((recording) => observe(recording, calibration, intake));
    const { proposals } = proposeCorrections({
      calibration,
      reference,
      intake,
      observations,
      suspects: [suspect(id, 0.9), suspect("healthy", 0.1)],
      findings: [],
    });
    return { proposals, truth };
  };
  const error = (cells: Float64Array, truth: Float64Array): number =>
    Math.sqrt(cells.reduce((sum, cell, k) => sum + Math.log(cell / truth[k]!) ** 2, 0) / cells.length);
  const left = (proposals: readonly CorrectionProposal[], role: Role, truth: { asReceived: Float64Array; true: Float64Array }) => {
    const proposal = proposals.find((each) => each.role === role);
    return { before: error(truth.asReceived, truth.true), after: error(proposal?.after.cells ?? truth.asReceived, truth.true), proposal };
  };

  test.each([851, 852])("vehicle %i: at most half of a planted flow error is left, and the air tables are held", (seed) => {
    const { proposals, truth } = run(seed, "fuel.injector-flow-mismatch", 0.6);
    const flow = left(proposals, "fuel.injector-flow", truth.corrections["fuel.injector-flow"]!);
    expect(flow.after).toBeLessThan(0.5 * flow.before);
    expect(flow.proposal?.heldBecause).toBeUndefined();
    expect(proposals.find(({ role }) => role === "air.ve")?.heldBecause).toBe("fuel.injector-flow-mismatch");
  });

  test.each([861, 862])("vehicle %i: at most 0.6 of a planted dead-time error is left", (seed) => {
    const { proposals, truth } = run(seed, "fuel.injector-dead-time-mismatch", 0.6);
    const deadTime = left(proposals, "fuel.injector-dead-time", truth.corrections["fuel.injector-dead-time"]!);
    expect(deadTime.after).toBeLessThan(0.6 * deadTime.before);
    const flow = left(proposals, "fuel.injector-flow", truth.corrections["fuel.injector-flow"]!);
    expect(flow.after).toBeLessThan(flow.before + 0.02);
  });

  test("nobody suspects the injectors: nothing is asked of them", () => {
    const { packet } = makePacket(871, { minutes: 5 });
    const calibration = packet.asReceived!;
    const observations = packet.recordings.map((recording) => observe(recording, calibration, packet.intake));
    const { proposals } = proposeCorrections({ calibration, reference: undefined, intake: packet.intake, observations, suspects: [], findings: [] });
    expect(proposals.filter(({ role }) => role.startsWith("fuel."))).toEqual([]);
  });
});
