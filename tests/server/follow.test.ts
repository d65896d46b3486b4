import { appendFileSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { VisitView } from "../../src/api/index.ts";
import { readRecording } from "../../src/formats/index.ts";
import { addDwell, addVisits, placesOf } from "../../src/server/dwell.ts";
import { fileIn, follower, recordingsIn, watchedFolder } from "../../src/server/follow.ts";

let folder: string;
beforeEach(() => {
  folder = watchedFolder(mkdtempSync(join(tmpdir(), "fettle-follow-")));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** A drive as a logger writes it: speed swings, pressure comes in every third row only. */
function lines(from: number, to: number): string {
  let text = "";
  for (let i = from; i < to; i++) {
    const rpm = 1500 + 700 * Math.sin(i / 200);
    text += `${(i / 20).toFixed(2)};${rpm.toFixed(0)};${i % 3 === 0 ? (45 + 10 * Math.sin(i / 90)).toFixed(1).replace(".", ",") : ""}\n`;
  }
  return text.replaceAll(/(\d)\.(\d)/g, "$1,$2");
}
const HEAD = "Time [s];Engine speed [rpm];MAP [kPa]\n";

describe("a recording that grows", () => {
  test("read piece by piece it gives the rows that the whole file gives", () => {
    const path = join(folder, "drive.csv");
    writeFileSync(path, HEAD + lines(0, 40));
    const look = follower(path, {});
    const heard = [...look().places];
    // Pieces that end within a line: what is not whole waits for the rest.
    const rest = lines(40, 4000);
    for (let at = 0; at < rest.length; at += 7001) {
      appendFileSync(path, rest.slice(at, at + 7001));
      const more = look();
      expect(more.begun).toBeUndefined();
      heard.push(...more.places.slice(1));
    }
    const whole = placesOf(readRecording("drive.csv", new TextEncoder().encode(HEAD + lines(0, 4000))).recording);
    expect(heard.length).toBe(4000);
    expect(look().rows).toBe(4000);
    for (const i of [0, 39, 40, 41, 1234, 3999]) {
      expect(heard[i]!.timeS).toBeCloseTo(whole[i]!.timeS, 6);
      expect(heard[i]!.rpm).toBe(whole[i]!.rpm);
    }
    expect(heard[3999]!.kpa).toBeCloseTo(whole[3999]!.kpa, 9);
  });

  test("a file without rows yet is waited for; one begun anew is read from its start", () => {
    const path = join(folder, "drive.csv");
    writeFileSync(path, HEAD);
    const look = follower(path, {});
    expect(look()).toMatchObject({ rows: 0, says: "Waiting for the first rows." });
    appendFileSync(path, lines(0, 100));
    expect(look().rows).toBe(100);
    truncateSync(path, 0);
    appendFileSync(path, HEAD + lines(0, 50));
    expect(look()).toMatchObject({ begun: "again", rows: 50 });
  });

  test("without a manifold pressure it says why it cannot follow", () => {
    const path = join(folder, "speed.csv");
    writeFileSync(path, `Time [s],Engine speed [rpm]\n${Array.from({ length: 50 }, (_, i) => `${i / 10},${900 + i}`).join("\n")}\n`);
    expect(follower(path, {})().says).toMatch(/no engine speed or no manifold pressure/);
  });
});

describe("the watched folder", () => {
  test("lists recordings alone, and follows nothing outside of it", () => {
    writeFileSync(join(folder, "a.csv"), "x");
    writeFileSync(join(folder, "secret.pem"), "x");
    mkdirSync(join(folder, "deep.csv"));
    const outside = mkdtempSync(join(tmpdir(), "fettle-outside-"));
    writeFileSync(join(outside, "b.csv"), "x");
    symlinkSync(join(outside, "b.csv"), join(folder, "link.csv"));
    expect(recordingsIn(folder).map(({ name }) => name)).toEqual(["a.csv"]);
    expect(fileIn(folder, "a.csv")).toBe(join(folder, "a.csv"));
    for (const name of ["../b.csv", "link.csv", "deep.csv", "secret.pem", "", "..", "a.csv/../a.csv", "..\\b.csv"])
      expect(() => fileIn(folder, name), name).toThrow("The folder holds no recording of that name");
    rmSync(outside, { recursive: true });
  });

  test("must be named from the root, and be there", () => {
    expect(() => watchedFolder("logs")).toThrow("The folder is not given from the root");
    expect(() => watchedFolder(join(folder, "missing"))).toThrow("There is no such folder");
    writeFileSync(join(folder, "a.csv"), "x");
    expect(() => watchedFolder(join(folder, "a.csv"))).toThrow("This is a file, not a folder");
  });
});

test("time goes to the nearest cell and to the visits whose region holds it; gaps and a standing engine count for nothing", () => {
  const axes = { rpm: [800, 1600, 2400], kpa: [30, 50, 70] };
  const visit = (fromRpm: number, toRpm: number, fromKpa: number, toKpa: number): VisitView => ({
    ...{ fromRpm, toRpm, fromKpa, toKpa },
    load: "half load",
    seconds: 20,
    gainShare: 0.1,
    words: "",
  });
  const places = [
    { timeS: 0, rpm: 1700, kpa: 52 },
    { timeS: 0.5, rpm: 1700, kpa: 52 },
    { timeS: 1, rpm: 1700, kpa: 61 },
    { timeS: 9, rpm: 1700, kpa: 52 }, // the logger was silent
    { timeS: 9.5, rpm: 0, kpa: 98 }, // the engine stands
  ];
  const dwellS = new Float64Array(9);
  addDwell(dwellS, axes, places);
  expect([...dwellS]).toEqual([0, 0, 0, 0, 0.5, 0, 0, 0.5, 0]);
  const visitS = new Float64Array(2);
  addVisits(visitS, [visit(1400, 1800, 50, 50), visit(1800, 2200, 50, 50)], axes, places);
  // The region of the row at 50 kPa ends half-way to 70 kPa.
  expect([...visitS]).toEqual([0.5, 0]);
});
