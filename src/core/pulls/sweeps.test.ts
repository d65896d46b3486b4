import { describe, expect, it } from "vitest";
import type { Recording } from "../recordings/index.ts";
import type { Intake } from "../result/index.ts";
import { coastDownLossKw } from "./coast-down.ts";
import { analysePulls } from "./sweeps.ts";

const MASS_KG = 1500;
/** Losses on the rollers: F = 150 + 3 v + 0.2 v², v in m/s. */
const lossN = (ms: number): number => 150 + 3 * ms + 0.2 * ms * ms;

function channels(columns: Readonly<Record<string, readonly number[]>>): Recording["channels"] {
  return Object.fromEntries(
    Object.entries(columns).map(([signal, values]) => [signal, { signal, source: signal, confidence: 1, values: Float64Array.from(values) }]),
  ) as Recording["channels"];
}

function recordingOf(file: string, timeS: readonly number[], columns: Readonly<Record<string, readonly number[]>>): Recording {
  const preamble = { "Ambient pressure": "100 kPa", "Ambient temperature": "25 °C", "Vapour pressure": "1 kPa", "Equivalent mass": `${MASS_KG} kg` };
  return { file, timeS: Float64Array.from(timeS), channels: channels(columns), others: [], preamble, repairs: [] };
}

const times = (seconds: number): number[] => Array.from({ length: seconds * 20 }, (_, i) => i / 20);

/** 300 Nm at the flywheel, 2000 engine turns a kilometre, the losses taken away; the force holds the rollers' inertia. */
function sweep(): Recording {
  const t = times(20);
  const rpm = t.map((s) => 2000 + 150 * s);
  const ms = rpm.map((n) => (n / 60 / 2000) * 1000);
  const force = rpm.map((n, i) => (300 * 2 * Math.PI * n) / 60 / ms[i]! - lossN(ms[i]!));
  return recordingOf("pulls/sweep-1.csv", t, { rpm, rollerKmh: ms.map((v) => 3.6 * v), rollerForceN: force });
}

function coastDown(file: string): Recording {
  const t = times(60);
  const kmh: number[] = [];
  let ms = 45;
  for (const _ of t) {
    kmh.push(3.6 * ms);
    ms = Math.max(0, ms - (lossN(ms) / MASS_KG) * 0.05);
  }
  return recordingOf(file, t, { rollerKmh: kmh });
}

const INTAKE: Intake = { engine: { displacementL: 3, cylinders: 6 } };

describe("sweeps of a vehicle", () => {
  it("give the flywheel's torque with a coast-down on the rollers, within the fit of the losses", () => {
    const [pull] = analysePulls({
      pulls: [coastDown("pulls/coast-down.csv"), { ...sweep(), preamble: { ...sweep().preamble, "Roller inertia included in force": "" } }],
      recordings: [],
      intake: INTAKE,
    });
    // 300 Nm by construction; power at the rollers and losses are both exact but for the parabola through the speeds.
    expect(pull!.result!.flywheel!.peakTorqueNm).toBeGreaterThan(298);
    expect(pull!.result!.flywheel!.peakTorqueNm).toBeLessThan(302);
    expect(pull!.result!.flywheel!.basis).toMatch(/^pulls\/coast-down\.csv: losses of tyres and driveline from a coast-down/);
    expect(coastDownLossKw({ force: { constantN: 150, perSpeedNs: 3, perSpeedSquaredNs2: 0.2 }, fromKmh: 150, toKmh: 20, residualSdN: 1 }, 108)).toBeCloseTo(
      12.6,
      6,
    );
  });

  it("take a stated loss as stated, and leave the flywheel out where nothing is known", () => {
    const stated = analysePulls({ pulls: [sweep()], recordings: [], intake: { ...INTAKE, dynamometer: { lossPercent: 20 } } })[0]!.result!;
    expect(stated.flywheel!.peakPowerKw).toBeCloseTo(stated.peakPowerKw / 0.8, 1);
    expect(stated.flywheel!.basis).toContain("20 %");
    expect(analysePulls({ pulls: [sweep()], recordings: [], intake: INTAKE })[0]!.result!.flywheel).toBeUndefined();
  });

  it("follow the standard of the intake sheet, and say so where there is no such one", () => {
    const by = (standard: string) => analysePulls({ pulls: [sweep()], recordings: [], intake: { ...INTAKE, dynamometer: { standard } } })[0]!.result!;
    expect(by("din-70020").standard).toBe("DIN 70020");
    expect(by("unheard-of").standard).toBe("SAE J1349");
    expect(by("unheard-of").remarks!.join()).toContain('asks for the standard "unheard-of"');
  });

  it("name a coast-down that is missing or cannot be used", () => {
    const named = (coastDownFile: string, pulls: readonly Recording[]) =>
      analysePulls({ pulls, recordings: [], intake: { ...INTAKE, dynamometer: { coastDown: coastDownFile } } })[0]!.remarks.join();
    expect(named("gone.csv", [sweep()])).toContain("gone.csv is not among the files");
    const still = recordingOf("pulls/still.csv", times(10), { rollerKmh: times(10).map(() => 0) });
    expect(named("still.csv", [sweep(), still])).toContain("less than 3 s and 15 km/h");
  });
});
