import { describe, expect, it } from "vitest";
import type { Recording } from "../recordings/index.ts";
import type { Intake } from "../result/index.ts";
import type { SignalId } from "../units/index.ts";
import { analysePull } from "./analyse.ts";
import { fitCoastDown, flywheelEstimate } from "./coast-down.ts";
import { findingsOfPulls } from "./findings.ts";

const CAR: Intake = {
  vehicle: { massKg: 1500, axleRatio: 3.5, tireRevsPerKm: 480, gearRatios: [2.8, 1.6, 1, 0.7] },
  engine: { displacementL: 3, cylinders: 6 },
};
const NOTES = { "Ambient pressure": "100 kPa", "Ambient temperature": "25 °C", "Vapour pressure": "1 kPa", Gear: "3", "Roller inertia included in force": "" };
const REVS_PER_KM = 3.5 * 480;

type Columns = Partial<Record<SignalId, (at: { t: number; rpm: number; kmh: number; force: number }) => number>>;

/** A quiet sweep from 2000 to 6000 rpm in 16 s with a torque parabola that peaks with 300 Nm at 4000 rpm. */
function quietSweep(columns: Columns, preamble: Readonly<Record<string, string>> = NOTES, file = "pulls/quiet.csv"): Recording {
  const timeS = Float64Array.from({ length: 360 }, (_, i) => i * 0.05);
  const rows = [...timeS].map((t) => {
    const rpm = 2000 + 250 * Math.min(t, 16);
    const kmh = (60 * rpm) / REVS_PER_KM;
    const torque = t > 16 ? 10 : 300 - 20 * ((rpm - 4000) / 1000) ** 2;
    return { t, rpm, kmh, force: ((torque * rpm) / 9549.2966 / kmh) * 3600 };
  });
  const channels: Record<string, unknown> = {};
  for (const [signal, of] of Object.entries(columns))
    channels[signal] = { signal, source: signal, confidence: 1, values: Float64Array.from(rows, (row) => of!(row)) };
  return { file, timeS, channels: channels as Recording["channels"], others: [], preamble, repairs: [] };
}
const ALL: Columns = { rpm: (at) => at.rpm, rollerKmh: (at) => at.kmh, rollerForceN: (at) => at.force };

describe("a sweep", () => {
  it("by force gives power and torque to the reading's own lag", () => {
    const pull = analysePull(quietSweep(ALL), { intake: CAR });
    expect(pull.result).toMatchObject({ standard: "SAE J1349", factor: 1 });
    // A reading that lags 0.1 s behind power that gains 7 kW/s near the torque peak reads 0.6 % low there; the curve does not.
    expect(Math.abs(pull.result!.peakTorqueNm - 300)).toBeLessThan(2.5);
    expect(Math.abs(pull.sustained!.torque.value - 300)).toBeLessThan(0.3);
    expect(Math.abs(pull.sustained!.torque.rpm - 4000)).toBeLessThanOrEqual(50);
    // Top of (300 − 20 x²)(4000 + 1000 x) / 9549.3, at x = 1.27.
    expect(pull.sustained!.power.value).toBeCloseTo(147.76, 1);
    expect(pull.result!.smoothing).toContain("first-order lag of 0.1 s");
    expect(pull.result!.smoothing).toContain("local quadratic");
  });

  it("without engine speed takes it from roller speed, gear, axle and tyre, and says so", () => {
    const whole = analysePull(quietSweep(ALL), { intake: CAR }).result!;
    const { rpm: _, ...rest } = ALL;
    const pull = analysePull(quietSweep(rest), { intake: CAR });
    expect(pull.result!.peakTorqueNm).toBeCloseTo(whole.peakTorqueNm, 1);
    expect(pull.result!.peakTorqueRpm).toBeCloseTo(whole.peakTorqueRpm, -1);
    expect(pull.remarks.join()).toContain("engine speed is not in the file");
    const nameless = analysePull(quietSweep(rest, { ...NOTES, Gear: "" }), { intake: CAR });
    expect(nameless.result!.peakPowerKw).toBeCloseTo(whole.peakPowerKw, 1);
    expect(nameless.remarks.join()).toContain("gear 3 (ratio 1) assumed");
    const lost = analysePull(quietSweep(rest), { intake: { engine: CAR.engine } });
    expect(lost.result).toBeUndefined();
    expect(lost.couldNot.join()).toContain("lacks engine speed, or gear, axle ratio and tyre");
  });

  it("adds the rollers' inertia where the force leaves it out, by mass or by inertia and radius", () => {
    const whole = analysePull(quietSweep(ALL), { intake: CAR }).result!;
    const acceleration = (250 * 60) / REVS_PER_KM / 3.6;
    const cell: Columns = { ...ALL, rollerForceN: (at) => at.force - (at.t < 16 ? 600 * acceleration : 0) };
    const { "Roller inertia included in force": _, ...notes } = NOTES;
    const notedInertias: readonly Readonly<Record<string, string>>[] = [
      { "Roller inertia": "600 kg (not included in force)" },
      { "Roller inertia not included": "96 kg m²", "Roller radius": "0.4 m" },
    ];
    for (const inertia of notedInertias) {
      const pull = analysePull(quietSweep(cell, { ...notes, ...inertia }), { intake: CAR });
      expect(Math.abs(pull.result!.peakTorqueNm / whole.peakTorqueNm - 1)).toBeLessThan(0.004);
      expect(pull.remarks.join()).toContain("was added to the force");
    }
    expect(analysePull(quietSweep(cell, { ...notes, "Roller inertia": "not included" }), { intake: CAR }).remarks.join()).toContain("power reads low");
  });

  it("corrects by the standard asked for and remarks limits, boost and borrowed ambient", () => {
    const hot = {
      "Ambient pressure": "95 kPa",
      "Ambient temperature": "38 °C",
      "Relative humidity": "60 %",
      Gear: "3",
      "Roller inertia included in force": "",
    };
    const boosted = { ...CAR, engine: { ...CAR.engine, boosted: true } };
    const pull = analysePull(quietSweep(ALL, hot), { intake: boosted });
    expect(pull.validity).toBe("conditions outside");
    expect(pull.remarks.join("\n")).toMatch(/outside its limits[\s\S]*beyond 3 %[\s\S]*boosted engine, SAE J1349/);
    const din = analysePull(quietSweep(ALL, hot), { intake: CAR, standard: "din-70020" }).result!;
    expect(din.standard).toBe("DIN 70020");
    expect(din.factor).toBeCloseTo((101.3 / 95) * Math.sqrt(311 / 293), 4);
    const raw = analysePull(quietSweep(ALL, { Gear: "3" }), { intake: CAR });
    expect(raw.result).toMatchObject({ standard: "none (as measured)", factor: 1 });
    expect(raw.remarks.join()).toContain("power is left uncorrected");
    const fromIntake = analysePull(quietSweep(ALL, { Gear: "3" }), {
      intake: { ...CAR, ambient: { pressureKpa: 97.5, temperatureC: 30, relativeHumidityPercent: 45 } },
    });
    expect(fromIntake.factor).toBeCloseTo(1.0523172, 6); // AP-J1349-9
    expect(fromIntake.remarks.join()).toContain("ambient pressure taken from the intake sheet");
    expect(() => analysePull(quietSweep(ALL), { intake: CAR, standard: "sae-1" })).toThrow(/no power standard "sae-1"/);
  });

  it("says what lacks where there is no sweep", () => {
    const still = analysePull(quietSweep({ rpm: () => 800, rollerKmh: () => 0, rollerForceN: () => 0 }), { intake: CAR });
    expect(still.couldNot).toEqual(["pulls/quiet.csv: power was left out; no rise of speed under full load was found in it"]);
    expect(analysePull(quietSweep({ ect: () => 90 }), { intake: CAR }).couldNot.join()).toContain("it lacks roller speed, road speed or engine speed");
  });

  it("names the gear that the speeds fit and a ratio that the intake sheet has wrong", () => {
    const pull = analysePull(quietSweep(ALL), { intake: { ...CAR, vehicle: { ...CAR.vehicle, axleRatio: 3.73 } } });
    expect(pull.samples!.driveline.ratioToListed).toBeCloseTo(3.5 / 3.73, 3);
    const [finding] = findingsOfPulls([pull]);
    expect(finding).toMatchObject({ check: "pull.ratio-mismatch", severity: "watch" });
    expect(findingsOfPulls([analysePull(quietSweep(ALL), { intake: CAR })])).toEqual([]);
  });
});

describe("power without a force cell", () => {
  // Mass, drag and rolling of the road as in PH-14; the engine's torque decides the acceleration.
  const load = { constantN: 200, perSpeedNs: 0, perSpeedSquaredNs2: 0.5 };
  function driven(massKg: number, roadN: (ms: number) => number): { timeS: Float64Array; kmh: number[] } {
    let ms = (60 * 2000) / REVS_PER_KM / 3.6;
    const kmh: number[] = [];
    const timeS = Float64Array.from({ length: 700 }, (_, i) => i * 0.05);
    for (let i = 0; i < 7000; i++) {
      const rpm = (ms * 3.6 * REVS_PER_KM) / 60;
      if (i % 10 === 0) kmh.push(Math.round(ms * 3.6 * 100) / 100);
      const torque = kmh.length > 30 && rpm >= 5999 ? 0 : 300 - 20 * ((rpm - 4000) / 1000) ** 2;
      const force = kmh.length * 0.05 > 22 ? 0 : (torque * 2 * Math.PI * REVS_PER_KM) / 1000;
      ms += ((force - roadN(ms)) / massKg) * 0.005;
    }
    return { timeS, kmh };
  }
  const recordingOf = (drive: { timeS: Float64Array; kmh: number[] }, signal: "rollerKmh" | "vss", preamble: Record<string, string>): Recording => ({
    file: "pulls/speed.csv",
    timeS: drive.timeS,
    channels: { [signal]: { signal, source: signal, confidence: 1, values: Float64Array.from(drive.kmh) } },
    others: [],
    preamble,
    repairs: [],
  });

  it("comes from the rollers' inertia and speed", () => {
    const { "Roller inertia included in force": _, ...notes } = NOTES;
    const drive = driven(2400, () => 0);
    const pull = analysePull(recordingOf(drive, "rollerKmh", { ...notes, "Equivalent mass": "2400 kg" }), { intake: CAR });
    expect(Math.abs(pull.result!.peakTorqueNm / 300 - 1)).toBeLessThan(0.01);
    expect(pull.remarks.join()).toContain("inertia alone");
  });

  it("comes from a road recording with the road load of its own coast-down", () => {
    const massKg = 1500;
    const drive = driven(massKg, (ms) => load.constantN + load.perSpeedSquaredNs2 * ms * ms);
    const recording = recordingOf(drive, "vss", { "Ambient pressure": "100 kPa", "Ambient temperature": "25 °C", "Vapour pressure": "1 kPa", Gear: "3" });
    const coast = fitCoastDown(recording, massKg)!;
    expect(Math.abs(coast.force.constantN - 200)).toBeLessThan(25);
    expect(Math.abs(coast.force.perSpeedSquaredNs2 - 0.5)).toBeLessThan(0.05);
    const pull = analysePull(recording, { intake: CAR, road: { coastDown: coast.force } });
    expect(Math.abs(pull.result!.peakTorqueNm / 300 - 1)).toBeLessThan(0.015);
    expect(pull.remarks.join()).toContain("grade and wind are not known");
    expect(analysePull(recording, { intake: CAR }).couldNot.join()).toContain("a coast-down from which the road load");
    const flywheel = flywheelEstimate(pull, coast)!;
    expect(flywheel.powerKw.every((p, i) => !(p <= pull.curve!.powerKw[i]!))).toBe(true);
  });

  it("has no coast-down in a file that never coasts", () => {
    expect(fitCoastDown(quietSweep(ALL), 1500)).toBeUndefined();
  });
});

describe("signals over sweeps", () => {
  const withSignals = (extra: Columns, options: { boosted?: boolean; file?: string; fullLoadLambda?: (rpm: number) => number } = {}) =>
    analysePull(quietSweep({ ...ALL, ...extra }, NOTES, options.file), {
      intake: { ...CAR, engine: { ...CAR.engine, boosted: options.boosted ?? false } },
      fullLoadLambda: options.fullLoadLambda,
    });
  const bump = (rpm: number, at: number, width: number): boolean => Math.abs(rpm - at) < width;
  const found = (...pulls: ReturnType<typeof withSignals>[]) => findingsOfPulls(pulls).map(({ check, severity }) => `${check} ${severity}`);

  it("stay silent on a healthy sweep, the lean tip-in included", () => {
    expect(
      found(
        withSignals({
          lambda: (at) => (at.t < 0.8 ? 1.15 : 0.87),
          lambdaTarget: () => 0.87,
          knockRetard: () => 0,
          map: () => 98,
          injMs: () => 12,
          iat: () => 25,
        }),
      ),
    ).toEqual([]);
  });

  it("name a lean moment with time and speed (RT-04, CA-15)", () => {
    const lean = (share: number): Columns => ({ lambda: (at) => 0.87 * (bump(at.rpm, 4500, 200) ? 1 + share : 1), lambdaTarget: () => 0.87 });
    expect(found(withSignals(lean(0.06)))).toEqual(["pull.lean-at-load stop"]);
    expect(found(withSignals(lean(0.04)))).toEqual(["pull.lean-at-load watch"]);
    expect(found(withSignals(lean(0.04)), withSignals(lean(0.04), { file: "pulls/b.csv" }))).toEqual(["pull.lean-at-load stop"]);
    expect(found(withSignals(lean(0.04), { boosted: true }))).toEqual(["pull.lean-at-load stop"]);
    expect(found(withSignals(lean(0.02)))).toEqual([]);
    expect(findingsOfPulls([withSignals(lean(0.06))])[0]!.because[0]).toMatch(
      /^pulls\/quiet.csv: lambda 0\.922 against 0\.870 of its target, 6\.0 % lean at 9\.\d+ s and 4\d+ rpm/,
    );
  });

  it("hold lambda against the table, or against the trade's limit, where no target is recorded (RT-02, RT-03)", () => {
    const at = (lambda: number): Columns => ({ lambda: () => lambda });
    expect(found(withSignals(at(0.93), { fullLoadLambda: () => 0.87 }))).toEqual(["pull.lean-at-load stop"]);
    expect(found(withSignals(at(0.93)))).toEqual(["pull.lean-at-load watch"]);
    expect(found(withSignals(at(0.9), { boosted: true }))).toEqual(["pull.lean-at-load stop"]);
    expect(found(withSignals(at(0.9)))).toEqual([]);
  });

  it("tell a blip of knock from knock that repeats (RT-17, RT-18, CA-16)", () => {
    const knock = (deg: number, rpm: number): Columns => ({ knockRetard: (at) => (bump(at.rpm, rpm, 60) ? deg : 0) });
    expect(found(withSignals(knock(3.5, 4000)))).toEqual(["pull.knock watch"]);
    expect(found(withSignals(knock(6, 4000)))).toEqual(["pull.knock stop"]);
    expect(found(withSignals(knock(3.5, 4000)), withSignals(knock(3.2, 4100), { file: "pulls/b.csv" }))).toEqual(["pull.knock-repeats stop"]);
    expect(found(withSignals(knock(3.5, 3000)), withSignals(knock(3.2, 5000), { file: "pulls/b.csv" }))).toEqual(["pull.knock watch"]);
  });

  it("name injector duty, pressure and slip (RT-01, RT-15, RT-24, CA-17)", () => {
    expect(found(withSignals({ injMs: (at) => (0.92 * 120_000) / at.rpm }))).toEqual(["pull.injector-duty stop"]);
    expect(found(withSignals({ injMs: (at) => (0.87 * 120_000) / at.rpm }))).toEqual(["pull.injector-duty watch"]);
    expect(found(withSignals({ map: (at) => (at.rpm > 5000 ? 92 : 97) }))).toEqual(["pull.intake-restricts watch"]);
    expect(found(withSignals({ map: (at) => (bump(at.rpm, 4500, 150) ? 130 : 180) }, { boosted: true }))).toEqual(["pull.pressure-collapse stop"]);
    expect(found(withSignals({ map: () => 160, mapTarget: () => 180 }, { boosted: true }))).toEqual(["pull.boost-short watch"]);
    expect(found(withSignals({ slip: (at) => (at.t > 5 ? 80 : 10), lockupDuty: () => 100 }))).toEqual(["pull.lockup-slip fix"]);
    expect(found(withSignals({ iat: (at) => 25 + at.t * 1.5 }))).toEqual(["pull.charge-heat watch"]);
  });
});
