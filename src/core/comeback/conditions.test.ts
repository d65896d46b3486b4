import { describe, expect, test } from "vitest";
import { daysApart, fuelTrimLn, weatherSince } from "./conditions.ts";
import coolant from "./measures/coolant.ts";
import knockRetard from "./measures/knock-retard.ts";
import trimDriven from "./measures/trim-driven.ts";

const DAY = { ambientKpa: 100, intakeAirC: 20, ethanolPercentVolume: 10 };

describe("what the day and the tank bring", () => {
  // Stoichiometric ratios of E10 and E85 on CH1.85: 13.991 and 9.800, tests/reference/data/stoich.csv (ST-E10, ST-E85).
  test("another blend moves trims by the ratio of what the blends need, and is taken out", () => {
    const days = { before: DAY, after: { ...DAY, ethanolPercentVolume: 85 } };
    expect(Math.exp(fuelTrimLn(days))).toBeCloseTo(13.991 / 9.8001, 2);
    expect(trimDriven.byTheDay!(days).by).toBeCloseTo(100 * (13.991 / 9.8001 - 1), 0);
    expect(trimDriven.byTheDay!(days).sd).toBe(0);
    expect(daysApart(days)).toEqual([expect.stringMatching(/^fuel: 10 % ethanol then, 85 % now; trims are held against \+42\.8 %/)]);
  });

  test("a blend that nobody wrote down moves nothing and takes room", () => {
    const days = { before: DAY, after: { ambientKpa: 100, intakeAirC: 20 } };
    expect(trimDriven.byTheDay!(days).by).toBe(0);
    expect(trimDriven.byTheDay!(days).sd).toBeGreaterThan(1);
    expect(daysApart(days).join()).toContain("the blend is not known of both visits");
  });

  test("heat and another altitude take room for knock, and none for the coolant", () => {
    const days = { before: DAY, after: { ...DAY, ambientKpa: 84, intakeAirC: 45 } };
    expect(weatherSince(days)).toEqual({ warmerK: 25, higherKpa: -16 });
    expect(knockRetard.byTheDay!(days)).toEqual({ by: 0, sd: expect.closeTo(Math.hypot(2, 2.4), 6) });
    expect(coolant.byTheDay).toBeUndefined();
    expect(daysApart(days)[0]).toContain("intake air 20 °C then, 45 °C now; ambient pressure 100 kPa then, 84 kPa now");
  });

  test("the same day and tank go without saying", () => expect(daysApart({ before: DAY, after: { ...DAY, intakeAirC: 23 } })).toEqual([]));
});
