import { describe, expect, it } from "vitest";
import { seededRandom } from "../../src/base/index.ts";
import { analysePull } from "../../src/core/pulls/index.ts";
import { madeSweep, type SweepPlan } from "./made-sweep.ts";

interface Errors {
  readonly power: number[];
  readonly torque: number[];
  readonly curveTorque: number[];
}

/** Errors of peaks [fraction] over many made sweeps: readings against the reading without the cell's noise, curve against the engine's own. */
function errorsOf(plan: Omit<SweepPlan, "seed">, sweeps: number): Errors {
  const errors: Errors = { power: [], torque: [], curveTorque: [] };
  for (let seed = 1; seed <= sweeps; seed++) {
    const { recording, intake, truth } = madeSweep({ ...plan, seed });
    const pull = analysePull(recording, { intake });
    expect(pull.couldNot).toEqual([]);
    errors.power.push(pull.result!.peakPowerKw / truth.powerKw - 1);
    errors.torque.push(pull.result!.peakTorqueNm / truth.torqueNm - 1);
    errors.curveTorque.push(pull.sustained!.torque.value / truth.curveTorqueNm - 1);
  }
  return errors;
}

const biasOf = (errors: readonly number[]): number => Math.abs(errors.reduce((sum, e) => sum + e, 0) / errors.length);
const shareWithin = (errors: readonly number[], limit: number): number => errors.filter((e) => Math.abs(e) <= limit).length / errors.length;

function report(errors: Errors): string {
  const line = (values: readonly number[]): string => {
    const centre = values.reduce((sum, e) => sum + e, 0) / values.length;
    const sd = Math.sqrt(values.reduce((sum, e) => sum + (e - centre) ** 2, 0) / values.length);
    return `mean ${(100 * centre).toFixed(2)} %, sd ${(100 * sd).toFixed(2)} %, worst ${(100 * Math.max(...values.map(Math.abs))).toFixed(2)} %`;
  };
  return `power ${line(errors.power)}; torque ${line(errors.torque)}; curve ${line(errors.curveTorque)}`;
}

// The wanted 0.7 % is what the handed-over figures are held to; a twentieth of the sweeps may miss it where everything varies.
describe("peaks of made sweeps", () => {
  it("at 20 Hz with ordinary unsteadiness lie within 0.7 %", () => {
    const errors = errorsOf({ rateHz: 20, unsteadyFraction: 0.01, unsteadyS: 0.2, cellFraction: 0.003 }, 24);
    expect(shareWithin(errors.power, 0.007), report(errors)).toBe(1);
    expect(shareWithin(errors.torque, 0.007), report(errors)).toBe(1);
    expect(biasOf(errors.power), report(errors)).toBeLessThan(0.002);
    expect(biasOf(errors.torque), report(errors)).toBeLessThan(0.002);
  });

  it("hold at any rate from 20 Hz, sweep speed, shape, cut and end, with spikes and shuffle", () => {
    const power: number[] = [];
    const torque: number[] = [];
    for (const rateHz of [20, 50, 100]) {
      const errors = errorsOf({ rateHz, spikes: 4, shuffleFraction: 0.2 }, 7);
      power.push(...errors.power);
      torque.push(...errors.torque);
    }
    const errors = { power, torque, curveTorque: [0] };
    expect(shareWithin(power, 0.007), report(errors)).toBeGreaterThanOrEqual(0.95);
    expect(shareWithin(torque, 0.007), report(errors)).toBeGreaterThanOrEqual(0.95);
  });

  it("end where a speed is held, though its noise reaches the highest speed late", () => {
    const { recording, intake, truth } = madeSweep({ seed: 6, rateHz: 20, cuts: 0, end: "hold" });
    const random = seededRandom(6);
    const { rollerForceN, rollerKmh, rpm } = recording.channels;
    const top = rpm!.values.indexOf(Math.max(...rpm!.values));
    const held = (values: Float64Array, of: (i: number) => number): Float64Array => values.map((v, i) => (i > top ? of(i) : v));
    const channels = {
      rpm: { ...rpm!, values: held(rpm!.values, (i) => rpm!.values[top]! + (i % 3)) },
      rollerKmh: { ...rollerKmh!, values: held(rollerKmh!.values, (i) => rollerKmh!.values[top]! + 0.1 * (i % 2)) },
      rollerForceN: { ...rollerForceN!, values: held(rollerForceN!.values, () => 20 * random.normal()) },
    };
    const pull = analysePull({ ...recording, channels }, { intake });
    expect(Math.min(...pull.curve!.torqueNm)).toBeGreaterThan(0.3 * truth.curveTorqueNm);
    expect(Math.abs(pull.result!.peakPowerKw / truth.powerKw - 1)).toBeLessThan(0.007);
    expect(Math.abs(pull.result!.peakTorqueNm / truth.torqueNm - 1)).toBeLessThan(0.007);
  });

  it("are not lifted by many spikes, two of them beside a good sample", () => {
    const errors = errorsOf({ rateHz: 20, spikes: 12 }, 4);
    expect(shareWithin(errors.power, 0.007), report(errors)).toBe(1);
    expect(shareWithin(errors.torque, 0.007), report(errors)).toBe(1);
  });

  it("are not lifted by a noisy cell", () => {
    const errors = errorsOf({ rateHz: 20, unsteadyFraction: 0.005, cellFraction: 0.015 }, 24);
    expect(biasOf(errors.power), report(errors)).toBeLessThan(0.004);
    expect(biasOf(errors.torque), report(errors)).toBeLessThan(0.004);
  });

  it("are the same with engine speed in the file and without", () => {
    for (const seed of [3, 8, 21]) {
      const plan = { seed, rateHz: 20, cuts: 0 };
      const [with_, without] = [madeSweep(plan), madeSweep({ ...plan, hasRpm: false })];
      const a = analysePull(with_.recording, { intake: with_.intake }).result!;
      const b = analysePull(without.recording, { intake: without.intake }).result!;
      expect(Math.abs(b.peakTorqueNm / a.peakTorqueNm - 1)).toBeLessThan(0.003);
      expect(b.peakPowerKw).toBe(a.peakPowerKw);
    }
  });

  it("come out the same twice, and leave the recording alone", () => {
    const { recording, intake } = madeSweep({ seed: 5 });
    const before = recording.channels.rollerForceN!.values.slice();
    const [a, b] = [analysePull(recording, { intake }), analysePull(recording, { intake })];
    expect(a.result).toEqual(b.result);
    expect(recording.channels.rollerForceN!.values).toEqual(before);
  });
});
