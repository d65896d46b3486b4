import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { seededRandom } from "../../src/base/index.ts";
import { convert, describeSignal, type SignalId } from "../../src/core/units/index.ts";
import { readRecording } from "../../src/formats/index.ts";
import { DRIVE_INTAKE, type Manner, makeDrive, writeRecording } from "./write-recording.ts";

const manner: fc.Arbitrary<Manner> = fc
  .record({
    delimiter: fc.constantFrom<Manner["delimiter"]>(",", ";", "\t", "; "),
    decimal: fc.constantFrom<Manner["decimal"]>(".", ","),
    units: fc.constantFrom<Manner["units"]>("row", "round", "square", "none"),
    preambleLines: fc.integer({ min: 0, max: 5 }),
    time: fc.constantFrom<Manner["time"]>("s", "ms", "clock", "iso", "midnight"),
    lineEnd: fc.constantFrom<Manner["lineEnd"]>("\n", "\r\n", "\r"),
    encoding: fc.constantFrom<Manner["encoding"]>("utf-8", "bom", "utf-16le", "utf-16be", "latin-1"),
    isQuoted: fc.boolean(),
    trailing: fc.boolean(),
    blankPeriod: fc.integer({ min: 1, max: 6 }),
    states: fc.constantFrom<Manner["states"]>("01", "ON/OFF", "True/False"),
    system: fc.constantFrom<Manner["system"]>("metric", "imperial", "german"),
    footer: fc.boolean(),
    thousands: fc.boolean(),
    lastLineEnd: fc.boolean(),
  })
  // Commas that divide and commas within numbers need quotes, or nobody can tell them apart.
  .map((each) => (each.delimiter === "," && (each.decimal === "," || each.thousands) ? { ...each, isQuoted: true } : each));

/** Four decimals as written, in canonical units; and what a coarse conversion leaves. */
function tolerance(signal: SignalId, system: Manner["system"]): number {
  const canonical = describeSignal(signal).unit;
  const written = {
    map: { imperial: "psi", german: "hPa", metric: "kPa" },
    maf: { imperial: "lb/min", german: "kg/h", metric: "g/s" },
    vss: { imperial: "mph", german: "km/h", metric: "km/h" },
  } as const;
  const unit = signal === "map" || signal === "maf" || signal === "vss" ? written[signal][system] : canonical;
  return Math.max(1e-4, Math.abs(convert(6e-5, unit, canonical) - convert(0, unit, canonical))) + (signal === "baro" ? 2e-4 : 0);
}

describe("one recording in every dialect", () => {
  it("gives the same channels however it is written", () => {
    fc.assert(
      fc.property(manner, fc.integer({ min: 1, max: 1e6 }), (how, seed) => {
        const random = seededRandom(seed);
        const truth = makeDrive(random, 260);
        const { bytes, kept } = writeRecording(truth, how, random);
        const { recording } = readRecording("recordings/any.csv", bytes, { intake: DRIVE_INTAKE });
        const say = (what: string): string => `${what}\n${JSON.stringify(how)}\n${recording.repairs.join("\n")}`;
        expect(recording.timeS.length, say("rows")).toBe(truth.timeS.length);
        for (let i = 0; i < truth.timeS.length; i++)
          if (!(Math.abs(recording.timeS[i]! - (truth.timeS[i]! - truth.timeS[0]!)) < 1.5e-3)) expect.fail(say(`time of row ${i} is ${recording.timeS[i]}`));
        for (const [signal, expected] of truth.channels) {
          const channel = recording.channels[signal];
          if (channel === undefined || channel.confidence < 0.6) expect.fail(say(`${signal} is missing or doubtful`));
          const has = kept.get(signal)!;
          const allowed = tolerance(signal, how.system);
          for (let i = 0; i < expected.length; i++) {
            const value: number = channel.values[i]!;
            if (has[i] ? !(Math.abs(value - expected[i]!) <= allowed) : !Number.isNaN(value))
              expect.fail(say(`${signal} row ${i} reads ${value} for ${has[i] ? expected[i] : "a blank"}`));
          }
        }
        expect(recording.others.length, say("others")).toBe(0);
      }),
      { numRuns: 300, seed: 20261125 },
    );
  });

  it("says what it inferred when the file names no unit", () => {
    const random = seededRandom(7);
    const truth = makeDrive(random, 260);
    const { bytes } = writeRecording(truth, { ...PLAIN, units: "none", system: "imperial" }, random);
    const { recording } = readRecording("recordings/any.csv", bytes, { intake: DRIVE_INTAKE });
    const said = recording.repairs.join("\n");
    expect(said).toMatch(/no unit in the file; taken as psi, engine off it reads 14\.2/);
    expect(said).toMatch(/taken as lb\/min, only so does it fill the engine/);
    expect(said).toMatch(/taken as mph, only so do gear, axle and tyre fit/);
    expect(said).toMatch(/air-fuel ratio made lambda by dividing by 14\.7/);
    expect(said).toMatch(/no units in the file for \d+ columns/);
  });
});

const PLAIN: Manner = {
  delimiter: ",",
  decimal: ".",
  units: "square",
  preambleLines: 0,
  time: "s",
  lineEnd: "\n",
  encoding: "utf-8",
  isQuoted: false,
  trailing: false,
  blankPeriod: 1,
  states: "01",
  system: "metric",
  footer: false,
  thousands: false,
  lastLineEnd: true,
};
