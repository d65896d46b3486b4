import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { quantile } from "../../src/base/index.ts";
import type { Recording } from "../../src/core/recordings/index.ts";
import type { SignalId } from "../../src/core/units/index.ts";
import { readRecording } from "../../src/formats/index.ts";

/** Recordings made by others; the figures expected of them stand in the SOURCE.md beside each file, worked out there independently. */
function read(path: string, displacementL: number): Recording {
  const bytes = readFileSync(new URL(`../data/open/${path}`, import.meta.url));
  return readRecording(path, bytes, { intake: { engine: { displacementL, cylinders: 4 } } }).recording;
}

const values = (recording: Recording, signal: SignalId): Float64Array => recording.channels[signal]!.values;

/** Observed VE = 120 · MAF · R · T / (n · p · V) over rows with the engine running; blanks hold the value before. */
function observedVe(recording: Recording, displacementL: number, chargeC?: number): Float64Array {
  const [rpm, map, maf] = [values(recording, "rpm"), values(recording, "map"), values(recording, "maf")];
  const iat = recording.channels.iat?.values;
  const out: number[] = [];
  for (let i = 0; i < rpm.length; i++)
    if (rpm[i]! > 500 && maf[i]! > 0) out.push((120 * maf[i]! * 0.28705 * ((chargeC ?? iat![i]!) + 273.15)) / (rpm[i]! * map[i]! * displacementL));
  return Float64Array.from(out);
}

describe("hatchback, 1229 cm3, no time column, no units", () => {
  const recording = read("hatchback-1229cc/telemetry.csv", 1.229);
  it("is recognised in the units of SAE J1979", () => {
    expect(Object.keys(recording.channels).sort()).toEqual(["ect", "iat", "ltft1", "map", "maf", "o2v1", "rpm", "stft1", "tp1", "vss"].sort());
    expect(recording.others.map((each) => each.source)).toEqual(["ENGINE_LOAD", "O2_B1S2", "segment_id"]);
    expect(recording.repairs.join("\n")).toMatch(/g\/s for maf, kPa for map, km\/h for vss/);
  });
  it("says that its times are assumed, in steps of seconds, not tenths", () => {
    expect(recording.repairs.join("\n")).toMatch(
      /no time column and no rate in the file: a row every \d+ s assumed; times, rates and delays of this recording are not to be trusted/,
    );
    expect(recording.timeS[1]).toBeGreaterThan(1);
  });
  // SOURCE.md: VE 5 % 0.30, median 0.50, 95 % 0.77; two decimals given, so 0.006; 94.4 % within 0.3 to 1.0.
  it("breathes as its source says", () => {
    const ve = observedVe(recording, 1.229);
    expect(Math.abs(quantile(ve, 0.05) - 0.3)).toBeLessThan(0.006);
    expect(Math.abs(quantile(ve, 0.5) - 0.5)).toBeLessThan(0.006);
    expect(Math.abs(quantile(ve, 0.95) - 0.77)).toBeLessThan(0.006);
    expect(ve.filter((each) => each >= 0.3 && each <= 1).length / ve.length).toBeCloseTo(0.944, 2);
  });
});

describe("sedan, 1496 cm3, speed-density, a clock of whole seconds under a misspelt name", () => {
  const recording = read("sedan-1496cc/live12.csv", 1.496);
  it("finds the clock by its behaviour and spreads the rows", () => {
    expect(recording.repairs).toContain("ENGINE_RUN_TINE (): taken for the time, as the first column that only rises");
    expect(recording.repairs.join("\n")).toMatch(/the clock is coarser than the rows \(846 of 1151 repeat the time before\)/);
    for (let i = 1; i < recording.timeS.length; i++) expect(recording.timeS[i]!).toBeGreaterThan(recording.timeS[i - 1]!);
  });
  it("refuses the dead commanded ratio and keeps it listed", () => {
    expect(recording.channels.lambdaTarget).toBeUndefined();
    expect(recording.others.map((each) => each.source)).toContain("FUEL_AIR_COMMANDED_EQUIV_RATIO ()");
  });
  // SOURCE.md: 1,139 running rows, MAP 20 to 76 kPa running, coolant 21 to 88 °C, STFT+LTFT warm 3.1/7.8/10.9; engine off MAP 101 = barometer 101.
  it("reads what its source says", () => {
    const [rpm, map, ect] = [values(recording, "rpm"), values(recording, "map"), values(recording, "ect")];
    const running = map.filter((_, i) => rpm[i]! > 500);
    expect([running.length, Math.min(...running), Math.max(...running)]).toEqual([1139, 20, 76]);
    expect([Math.min(...ect), Math.max(...ect)]).toEqual([21, 88]);
    const trims = values(recording, "stft1").map((stft, i) => stft + values(recording, "ltft1")[i]!);
    const warm = trims.filter((_, i) => ect[i]! > 70);
    expect(Math.abs(quantile(warm, 0.5) - 7.8)).toBeLessThan(0.9);
    expect(map[0]).toBe(values(recording, "baro")[0]);
  });
  it("has no airflow, so no VE is to be had", () => expect(recording.channels.maf).toBeUndefined());
});

describe("diesel van, 2299 cm3, a unit that does not fit, a dead sensor", () => {
  const recording = read("citizen-tracks/diesel_van_2299cc.csv", 2.299);
  it("takes the airflow labelled l/s for g/s by what the engine breathes, and says so", () => {
    expect(recording.repairs.join("\n")).toMatch(/MAF\(l\/s\): unit "l\/s" is not known; taken as g\/s/);
    expect(recording.repairs.join("\n")).toMatch(/Intake Temperature\(c\): never changes \(0 °C in every row\); looks dead/);
  });
  // SOURCE.md: VE 0.64/0.73/0.81 at the recorded 0 °C, 0.73/0.84/0.92 at 40 °C (5/50/95 %), all 539 running points within 0.3 to 1.0.
  it.each([
    [0, [0.64, 0.73, 0.81]],
    [40, [0.73, 0.84, 0.92]],
  ])("breathes as its source says at %i °C", (chargeC, expected) => {
    const ve = observedVe(recording, 2.299, chargeC);
    expect(ve.length).toBe(539);
    [0.05, 0.5, 0.95].forEach((share, i) => {
      expect(Math.abs(quantile(ve, share) - expected[i]!)).toBeLessThan(0.0065);
    });
    expect(Math.min(...ve)).toBeGreaterThan(0.3);
    expect(Math.max(...ve)).toBeLessThan(1);
  });
});

describe.each([
  ["citizen-tracks/petrol_car_1798cc.csv", 1.798, 334],
  ["citizen-tracks/petrol_car_1086cc.csv", 1.086, 188],
])("%s: airflow worked out from pressure", (path, displacementL, rows) => {
  const recording = read(path, displacementL);
  it("is told from a measured one and not used", () => {
    expect(recording.timeS.length).toBe(rows);
    expect(recording.channels.maf).toBeUndefined();
    expect(recording.repairs.join("\n")).toMatch(/Calculated MAF\(g\/s\): one volumetric efficiency in every row: worked out from the pressure, not measured/);
  });
});

describe("one sample a row, 27 channels asked in turn", () => {
  const recording = read("can-obd2-drive/drive_request_response.decoded.csv", 1.1);
  // SOURCE.md: 27 channels, 1,910 s, one value of each per 7 s.
  it("becomes columns of a mixed rate", () => {
    expect(recording.repairs).toContain("one sample a row, 27 channels: laid out as columns");
    expect(recording.timeS.at(-1)!).toBeGreaterThan(1890);
    expect(recording.timeS.at(-1)!).toBeLessThan(1912);
    for (const signal of ["rpm", "map", "ect", "iat", "stft1", "ltft1", "tp1", "pedal", "baro", "battery", "lambda", "lambdaTarget", "vss", "gear"] as const)
      expect(values(recording, signal).filter((value) => !Number.isNaN(value))).toHaveLength(273);
  });
  // SOURCE.md: engine off from 4 to 273 s, MAP 99 = barometer 99 kPa; MAP at 255 kPa, the end of its range, at 920 s; cold start at 21 °C.
  it("reads what its source says", () => {
    const map = values(recording, "map");
    const filled = (signal: SignalId, from: number, to: number): Float64Array =>
      values(recording, signal).filter((value, i) => !Number.isNaN(value) && recording.timeS[i]! > from && recording.timeS[i]! < to);
    expect(new Set(filled("map", 10, 260))).toEqual(new Set([99]));
    expect(new Set(filled("rpm", 10, 260))).toEqual(new Set([0]));
    expect(Math.max(...map.filter((value) => !Number.isNaN(value)))).toBe(255);
    expect(Math.abs(recording.timeS[map.indexOf(255)]! - 920)).toBeLessThan(8);
    expect(filled("ect", 0, 20)[0]).toBe(21);
  });
  it("does not take the sensor behind the catalyst for the one ahead of it", () => expect(recording.channels.o2v1).toBeUndefined());
});
