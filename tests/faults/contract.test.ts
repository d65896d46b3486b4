import { describe, expect, test } from "vitest";
import { diagnose, FAULT_STORIES, type Fault, WORKSHOP_TESTS } from "../../src/core/faults/index.ts";
import { observe } from "../../src/core/residuals/index.ts";
import { FAULTS } from "../../src/core/result/index.ts";
import { isRole } from "../../src/core/tables/index.ts";
import { SIGNALS } from "../../src/core/units/index.ts";
import { type FaultId, makePacket, type PacketOptions } from "../../src/core/virtual-engine/index.ts";

type Planted = FaultId | "healthy";

function diagnosed(seed: number, options: PacketOptions) {
  const { packet } = makePacket(seed, { minutes: 5.5, ...options });
  return diagnose({
    observations: packet.recordings.map((recording) => observe(recording, packet.asReceived, packet.intake)),
    calibration: packet.asReceived,
    reference: packet.reference,
    intake: packet.intake,
  });
}

test("the registry holds the seventeen stories of the contract, each once, in order of id", () => {
  expect(FAULT_STORIES.map((fault) => fault.id)).toEqual([...FAULTS].sort());
});

describe.each(FAULT_STORIES.map((fault) => [fault.id, fault] as [string, Fault]))("%s says everything about itself", (id, fault) => {
  test("words, signals, roles, tests and neighbours exist", () => {
    for (const text of [fault.title, fault.what, fault.moves, fault.cost]) expect(text.length).toBeGreaterThan(10);
    for (const signal of fault.needs) expect(Object.hasOwn(SIGNALS, signal)).toBe(true);
    for (const role of fault.poisons) expect(isRole(role)).toBe(true);
    for (const testId of fault.tests) expect(WORKSHOP_TESTS.some((t) => t.id === testId)).toBe(true);
    for (const { fault: other } of fault.neighbours) expect(FAULTS).toContain(other);
    expect(fault.sources.length).toBeGreaterThan(0);
    expect(fault.prior).toBeGreaterThan(0);
    if (id !== "healthy") expect(fault.tests.length).toBeGreaterThan(0);
  });
  test("it can be recognised: by residuals or by a sign of its own", () => {
    if (id !== "healthy") expect(fault.story !== undefined || fault.direct !== undefined).toBe(true);
    if (fault.story !== undefined) expect(fault.story.size.low).toBeLessThan(fault.story.size.high);
  });
});

/** What a vehicle must be for the fault to be visible: a meter, a wide-range sensor, an automatic. */
const OUTFIT: Readonly<Partial<Record<Planted, PacketOptions>>> = {
  "air.unmetered-leak": { strategy: "meter", camChanged: false },
  "air.meter-low": { strategy: "switch" },
  "air.meter-high": { strategy: "switch" },
  "fuel.delivery-low": { wideband: true },
  "driveline.lockup-slip": { transmission: "automatic", minutes: 11 },
  "exhaust.leak-ahead-of-sensor": { camChanged: false },
  "fuel.injector-dead-time-mismatch": { wideband: true, strategy: "meter" },
  "cooling.runs-cold": { minutes: 11 },
};

// Seeds fixed once; a vehicle drawn for a fault has the part that fails.
const PLANTED: readonly (readonly [Planted, number])[] = FAULTS.map((fault, i) => [fault, 7100 + i] as const);

test.each(PLANTED)("%s planted grossly leads, and probabilities sum to 1", (fault, seed) => {
  const { suspects } = diagnosed(seed, { faults: fault === "healthy" ? [] : [{ id: fault, severity: 0.85 }], ...OUTFIT[fault] });
  expect(suspects.reduce((sum, s) => sum + s.probability, 0)).toBeCloseTo(1, 9);
  expect(suspects.map((s) => s.fault).sort()).toEqual([...FAULTS].sort());
  expect(suspects[0]!.fault).toBe(fault);
  expect(suspects[0]!.for.length).toBeGreaterThan(0);
  expect(JSON.stringify(suspects)).not.toMatch(/NaN|undefined/);
});
