import { describe, expect, test } from "vitest";
import { diagnose } from "../../src/core/faults/index.ts";
import { observe } from "../../src/core/residuals/index.ts";
import type { Intake } from "../../src/core/result/index.ts";
import type { SignalId } from "../../src/core/units/index.ts";
import { makePacket, type PacketOptions, type VirtualPacket } from "../../src/core/virtual-engine/index.ts";

/** One packet, recorded once, diagnosed in many ways. */
function packetWith(seed: number, options: PacketOptions): VirtualPacket {
  return makePacket(seed, { minutes: 6, ...options }).packet;
}

interface Lack {
  readonly signals?: readonly SignalId[];
  readonly calibration?: boolean;
  readonly reference?: boolean;
  readonly intake?: (intake: Intake) => Intake;
}

function diagnosed(packet: VirtualPacket, lack: Lack = {}) {
  const calibration = lack.calibration === false ? undefined : packet.asReceived;
  const intake = lack.intake?.(packet.intake) ?? packet.intake;
  const recordings = packet.recordings.map((recording) => ({
    ...recording,
    channels: Object.fromEntries(Object.entries(recording.channels).filter(([signal]) => lack.signals?.includes(signal as SignalId) !== true)),
  }));
  return diagnose({
    observations: recordings.map((recording) => observe(recording, calibration, intake)),
    calibration,
    reference: lack.reference === false ? undefined : packet.reference,
    intake,
  });
}

const leaking = packetWith(8201, {
  faults: [{ id: "air.unmetered-leak", severity: 0.7 }],
  strategy: "meter",
  camChanged: false,
  boosted: false,
  wideband: true,
});
const overflowing = packetWith(8202, { faults: [{ id: "air.throttle-overflow", severity: 0.7 }], strategy: "switch", camChanged: false, boosted: false });

const LACKS: readonly (readonly [string, Lack])[] = [
  ["nothing", {}],
  ["wide-range sensor", { signals: ["lambda"], intake: (i) => ({ ...i, sensors: { ...i.sensors, widebandFitted: false } }) }],
  ["manifold pressure", { signals: ["map"] }],
  ["barometer", { signals: ["baro"] }],
  ["airflow meter", { signals: ["maf", "mafHz"], intake: (i) => ({ ...i, sensors: { ...i.sensors, airMeterFitted: false } }) }],
  ["meter's reading, though fitted", { signals: ["maf", "mafHz"] }],
  ["second bank", { signals: ["stft2", "ltft2", "o2v2"] }],
  ["trims", { signals: ["stft1", "stft2", "ltft1", "ltft2"] }],
  ["throttle position", { signals: ["tp1", "tp2"] }],
  ["idle airflow", { signals: ["idleAirTarget", "idleAirAdapt"] }],
  ["coolant", { signals: ["ect"] }],
  ["engine speed", { signals: ["rpm"] }],
  ["pulse width", { signals: ["injMs"] }],
  ["everything but engine speed", { signals: allBut(["rpm"]) }],
  ["calibration", { calibration: false }],
  ["reference", { reference: false }],
  ["intake beyond the engine", { intake: (i) => ({ engine: { displacementL: i.engine.displacementL, cylinders: i.engine.cylinders } }) }],
  ["a right displacement", { intake: (i) => ({ ...i, engine: { ...i.engine, displacementL: i.engine.displacementL * 1.12 } }) }],
];

function allBut(kept: readonly SignalId[]): SignalId[] {
  return leaking.recordings.flatMap((r) => Object.keys(r.channels) as SignalId[]).filter((signal) => !kept.includes(signal));
}

describe.each(LACKS)("without %s", (_, lack) => {
  test.each([
    ["leak", leaking],
    ["throttle", overflowing],
  ] as const)("the answer for a %s is whole and finite", (_name, packet) => {
    const { suspects, couldNot } = diagnosed(packet, lack);
    expect(suspects).toHaveLength(17);
    expect(suspects.reduce((sum, s) => sum + s.probability, 0)).toBeCloseTo(1, 9);
    for (const s of suspects) expect(s.probability).toBeGreaterThanOrEqual(0);
    expect(JSON.stringify({ suspects, couldNot })).not.toMatch(/NaN|undefined|null|Infinity/);
  });
});

describe("what can still be told", () => {
  const rank = (packet: VirtualPacket, lack: Lack, fault: string): number => diagnosed(packet, lack).suspects.findIndex((s) => s.fault === fault);

  test.each(["nothing", "wide-range sensor", "barometer", "second bank", "pulse width", "reference", "a right displacement", "coolant"])(
    "a leak leads without %s",
    (name) => {
      expect(rank(leaking, LACKS.find(([n]) => n === name)![1], "air.unmetered-leak")).toBe(0);
    },
  );
  test.each(["nothing", "wide-range sensor", "manifold pressure", "trims", "throttle position", "reference", "a right displacement"])(
    "a throttle that passes more leads without %s",
    (name) => {
      expect(rank(overflowing, LACKS.find(([n]) => n === name)![1], "air.throttle-overflow")).toBe(0);
    },
  );
  test("without a meter, a throttle that passes more and a leak share the first two places, and it is said", () => {
    const { suspects, couldNot } = diagnosed(overflowing, LACKS.find(([n]) => n === "airflow meter")![1]);
    expect(
      suspects
        .slice(0, 2)
        .map((s) => s.fault)
        .sort(),
    ).toContain("air.throttle-overflow");
    expect(couldNot.join("\n")).toContain("a leak and a throttle that passes too much air look alike");
  });
  test("without any recording every story keeps its place beforehand, healthy first", () => {
    const { suspects } = diagnose({ observations: [], calibration: leaking.asReceived, reference: undefined, intake: leaking.intake });
    expect(suspects[0]!.fault).toBe("healthy");
    expect(suspects.reduce((sum, s) => sum + s.probability, 0)).toBeCloseTo(1, 9);
  });
});

describe("what a workshop finds moves the answer", () => {
  const probability = (observations: Record<string, unknown>, codes: readonly string[] = []): number => {
    const { suspects } = diagnosed(leaking, {
      signals: ["stft1", "stft2", "ltft1", "ltft2", "lambda", "map", "idleAirTarget", "idleAirAdapt"],
      intake: (i) => ({ ...i, observations, troubleCodes: codes }),
    });
    return suspects.find((s) => s.fault === "air.unmetered-leak")!.probability;
  };
  test("a clean smoke test speaks against a leak, a leak found for it", () => {
    expect(probability({ smokeTest: "clean" })).toBeLessThan(probability({}));
    expect(probability({ smokeTest: "leak" })).toBeGreaterThan(probability({}));
  });
  test("a stored code for lean idle speaks for a leak", () => {
    expect(probability({}, ["P2187"])).toBeGreaterThan(probability({}));
  });
});

describe("recordings that tell less lead to doubt", () => {
  const sound = packetWith(8203, { faults: [], wideband: true });
  const everyNth = (packet: VirtualPacket, n: number): VirtualPacket => ({
    ...packet,
    recordings: packet.recordings.map((recording) => ({
      ...recording,
      timeS: recording.timeS.filter((_, i) => i % n === 0),
      channels: Object.fromEntries(
        Object.entries(recording.channels).map(([signal, channel]) => [signal, { ...channel, values: channel.values.filter((_, i) => i % n === 0) }]),
      ),
    })),
  });

  test("a row every second or two makes neither a slow sensor nor a lost cam signal of a sound engine", () => {
    const rowsPerS = sound.recordings[0]!.timeS.length / (sound.recordings[0]!.timeS.at(-1)! - sound.recordings[0]!.timeS[0]!);
    const { suspects, couldNot } = diagnosed(everyNth(sound, Math.ceil(1.5 * rowsPerS)));
    const of = (fault: string): number => suspects.find((s) => s.fault === fault)!.probability;
    expect(suspects[0]!.fault).toBe("healthy");
    expect(of("sensor.oxygen-slow")).toBeLessThan(0.3);
    expect(of("start.cam-signal-dropout")).toBeLessThan(0.3);
    expect(couldNot.join("\n")).toContain("start.cam-signal-dropout: a start lasts about a second");
  });

  test("without trims the closed loop says nothing of fuel", () => {
    const without = (packet: VirtualPacket) =>
      packet.recordings.map((recording) => {
        const { stft1: _a, stft2: _b, ltft1: _c, ltft2: _d, ...channels } = recording.channels;
        return observe({ ...recording, channels }, packet.asReceived, packet.intake);
      });
    for (const o of without(sound)) for (let i = 0; i < o.n; i++) if (o.closedLoop[i] === 1) expect(o.fuelResidual[i]).toBeNaN();
  });

  test("full load is not taken for closed loop where neither the loop nor its command was recorded", () => {
    for (const recording of sound.recordings) {
      const { closedLoop: _a, lambdaTarget: _b, ...channels } = recording.channels;
      const o = observe({ ...recording, channels }, sound.asReceived, sound.intake);
      for (let i = 0; i < o.n; i++) if (o.throttlePercent[i]! > 60) expect(o.closedLoop[i]).toBe(0);
    }
  });

  test("what would settle a doubt is named", () => {
    const { suspects, recordNext } = diagnosed(everyNth(sound, 1), { signals: allBut(["rpm"]) });
    expect(suspects.some((s) => s.probability > 0.06 && s.fault !== "healthy")).toBe(true);
    expect(recordNext.length).toBeGreaterThan(1);
    expect(new Set(recordNext).size).toBe(recordNext.length);
  });
});

test("same input, same bytes; the input is left as it was", () => {
  const before = JSON.stringify(overflowing.intake);
  expect(JSON.stringify(diagnosed(overflowing))).toBe(JSON.stringify(diagnosed(overflowing)));
  expect(JSON.stringify(overflowing.intake)).toBe(before);
});

test("a grave fault names what it holds back until it is mended", () => {
  const held = diagnosed(overflowing).repairFirst.find((r) => r.fault === "air.throttle-overflow");
  expect(held?.holds).toContain("idle.base-airflow");
  expect(held?.holds).not.toContain("air.ve");
});
