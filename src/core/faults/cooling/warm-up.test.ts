import { describe, expect, it } from "vitest";
import { soundEndC, type WarmUp, weighWarmUps, windOf } from "./warm-up.ts";

/** A 2-litre engine from a frosty night, 15 g/s of air at 14 m/s; coolant rises evenly and is held at a level. */
function drive(minutes: number, levelC: number, risePerMinuteC = 9): WarmUp {
  const steps = minutes * 12;
  const coolantC = Float64Array.from({ length: steps }, (_, k) => Math.round(Math.min(levelC, -5 + (risePerMinuteC * k) / 12)));
  return {
    recording: "road",
    fromS: 0,
    toS: 60 * minutes,
    outsideC: -5,
    heatKw: new Float64Array(steps).fill(12),
    speedMs: new Float64Array(steps).fill(14),
    wind: new Float64Array(steps).fill(windOf(14)),
    coolantC,
    firstC: -5,
    lastC: coolantC[steps - 1]!,
  };
}

describe("coolant against the heat put in", () => {
  // 12 kW into some 49 kJ/K less 2 to 4 kW of losses: eight to twelve kelvins a minute. @source RT-21 for the levels; the balance is arithmetic.
  it("does not take an engine that is still warming up for one that runs cold", () => {
    expect(weighWarmUps([drive(7, 88)], 2)).toBeLessThan(0);
    expect(weighWarmUps([drive(4, 88)], 2)).toBeLessThan(0);
  });

  it("takes a level far below the thermostat's for a cold engine, the surer the longer", () => {
    const short = weighWarmUps([drive(10, 55)], 2);
    const long = weighWarmUps([drive(14, 55)], 2);
    expect(short).toBeGreaterThan(0.5);
    expect(long).toBeGreaterThan(short);
  });

  it("knows a warmed-up engine as sound", () => {
    expect(weighWarmUps([drive(14, 88)], 2)).toBeLessThan(-2);
  });

  it("says where a sound engine would stand", () => {
    expect(soundEndC(drive(14, 55), 2)).toBeGreaterThan(78);
    expect(soundEndC(drive(3, 55), 2)).toBeLessThan(45);
  });
});
