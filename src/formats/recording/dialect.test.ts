import { describe, expect, it } from "vitest";
import { readRecording } from "./recording.ts";

const read = (text: string) => readRecording("any.csv", new TextEncoder().encode(text)).recording;
const rowsOf = (row: (i: number) => string, n = 30): string => Array.from({ length: n }, (_, i) => row(i)).join("\n");

describe("odd ways to write a recording", () => {
  it("dots in some columns and commas in others", () => {
    const recording = read(`Time;RPM;MAP [kPa]\n${rowsOf((i) => `0.${String(i).padStart(2, "0")};${900 + i},5;4${i % 10}.25`)}\n`);
    expect(recording.channels.rpm!.values[3]).toBe(903.5);
    expect(recording.channels.map!.values[3]).toBe(43.25);
    expect(recording.timeS[3]).toBeCloseTo(0.03, 9);
  });
  it("a sample number and a rate above the header", () => {
    const recording = read(`Logger rate: 25 Hz\nSample,RPM,ECT\n${rowsOf((i) => `${i + 1},${900 + i},85`)}\n`);
    expect(recording.timeS[5]).toBeCloseTo(0.2, 9);
    expect(recording.others).toEqual([]);
  });
  it("a date and a clock in two columns", () => {
    const recording = read(`Date,Time,RPM,MAP\n${rowsOf((i) => `05.03.2026,10:00:${String(i).padStart(2, "0")}.500,${800 + i},40`)}\n`);
    expect(recording.timeS[4]).toBeCloseTo(4, 9);
    expect(recording.channels.rpm!.values[4]).toBe(804);
  });
  it("seconds since 1970, in milliseconds", () =>
    expect(read(`timestamp,rpm\n${rowsOf((i) => `${1772700000000 + 50 * i},${900 + i}`)}\n`).timeS[2]).toBeCloseTo(0.1, 9));
  it("names over two lines: the one that names is taken, units above the names too", () => {
    const recording = read(`s,rpm,kPa\nTime,Engine speed,Manifold absolute pressure\n${rowsOf((i) => `${i / 10},${900 + i},${40 + i}`)}\n`);
    expect(recording.channels.rpm!.source).toBe("Engine speed [rpm]");
    expect(recording.channels.map!.values[2]).toBe(42);
  });
  it("rows that end early by habit", () => {
    const recording = read(`Time,RPM,MAP,ECT\n${rowsOf((i) => (i % 4 === 0 ? `${i / 10},${900 + i},40,85` : `${i / 10},${900 + i}`))}\n`);
    expect(recording.timeS.length).toBe(30);
    expect(recording.channels.ect!.values.filter((value) => !Number.isNaN(value))).toHaveLength(8);
    expect(recording.repairs.join()).toMatch(/22 rows end early/);
  });
  it("gears by letters, loops by words", () => {
    const recording = read(
      `Time,RPM,Gear,Closed loop\n${rowsOf((i) => `${i / 10},${900 + i},${["P", "R", "N", "1", "2"][i % 5]},${i % 2 === 0 ? "Open" : "Closed"}`)}\n`,
    );
    expect([...recording.channels.gear!.values.subarray(0, 5)]).toEqual([0, -1, 0, 1, 2]);
    expect([...recording.channels.closedLoop!.values.subarray(0, 2)]).toEqual([0, 1]);
    expect(recording.repairs.join("\n")).toMatch(/Gear: words read as P = 0, R = -1, N = 0/);
  });
  it("fuel system status of SAE J1979", () => {
    const recording = read(`Time,RPM,Fuel system status\n${rowsOf((i) => `${i / 10},${900 + i},${i < 10 ? 1 : i < 20 ? 2 : 4}`)}\n`);
    expect([0, 12, 25].map((i) => recording.channels.closedLoop!.values[i])).toEqual([0, 1, 0]);
  });
  it("manifold pressure against ambient", () => {
    const recording = read(`Time,RPM,Boost [psig]\n${rowsOf((i) => `${i / 10},${900 + 50 * i},${-10 + i / 2}`)}\n`);
    expect(recording.channels.map!.values[0]).toBeCloseTo(101.325 - 68.94757, 3);
    expect(recording.repairs.join()).toMatch(/pressure against ambient; 101\.325 kPa added/);
  });
  it("throttle, trims and duty as shares of one", () => {
    const recording = read(
      `Time,RPM,Throttle position,STFT B1,LTFT B1\n${rowsOf((i) => `${i / 10},900,${(0.1 + i / 40).toFixed(3)},${(0.97 + (i % 7) / 100).toFixed(3)},${((i % 9) / 100 - 0.04).toFixed(3)}`)}\n`,
    );
    expect(recording.channels.tp1!.values[4]).toBeCloseTo(20, 6);
    expect(recording.channels.stft1!.values[0]).toBeCloseTo(-3, 6);
    expect(recording.channels.ltft1!.values[0]).toBeCloseTo(-4, 6);
    expect(recording.repairs.join("\n")).toMatch(/STFT B1: no unit in the file; taken as multiplier, it moves about 1/);
  });
  it("an air-fuel ratio that rests at another stoichiometric ratio is made lambda by that one", () => {
    const recording = read(`Time,RPM,Target AFR,Wideband AFR\n${rowsOf((i) => `${i / 10},1500,${i < 22 ? 14.08 : 12},${i < 22 ? 14.1 : 12.1}`)}\n`);
    expect(recording.channels.lambdaTarget!.values[0]).toBeCloseTo(1, 9);
    expect(recording.channels.lambda!.values[0]).toBeCloseTo(14.1 / 14.08, 9);
    expect(recording.repairs.join("\n")).toMatch(/dividing by 14\.08 \(where the commanded ratio rests\)/);
  });
  it("two columns that claim one signal: the better name wins, the other is listed", () => {
    const recording = read(`Time,RPM,Wideband lambda bank 1,Wideband lambda bank 2\n${rowsOf((i) => `${i / 10},1500,1.0${i % 9},0.9${i % 9}`)}\n`);
    expect(recording.channels.lambda!.source).toBe("Wideband lambda bank 1");
    expect(recording.others.map((each) => each.source)).toEqual(["Wideband lambda bank 2"]);
    expect(recording.repairs.join("\n")).toMatch(/Wideband lambda bank 2: also looks like lambda, which "Wideband lambda bank 1" is; kept as unrecognised/);
  });
  it("a wideband on bank 2 alone is the lambda measured", () =>
    expect(read(`Time,RPM,Wideband lambda B2\n${rowsOf((i) => `${i / 10},1500,1.0${i % 9}`)}\n`).channels.lambda).toBeDefined());
  it("a channel without samples gives way to one that has them", () => {
    const recording = read(`Time,RPM,MAP,Intake manifold pressure\n${rowsOf((i) => `${i / 10},${1500 + i},,${40 + i}`)}\n`);
    expect(recording.channels.map!.source).toBe("Intake manifold pressure");
  });
  it("plain speed and force are the roller's in a sweep", () => {
    const text = `Time [s],RPM [rpm],Speed [km/h],Force [N]\n${rowsOf((i) => `${i / 10},${2000 + 40 * i},${60 + i},${3000 + i}`)}\n`;
    const { channels } = readRecording("pulls/one.csv", new TextEncoder().encode(text), { isSweep: true }).recording;
    expect(Object.keys(channels).sort()).toEqual(["rollerForceN", "rollerKmh", "rpm"]);
  });
});
