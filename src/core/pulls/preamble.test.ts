import { describe, expect, it } from "vitest";
import { readSweepNotes } from "./preamble.ts";

describe("notes above a sweep", () => {
  // One ambient in the wordings and units that benches write. Factors: docs/sources.md, scipy-constants.
  const wordings: readonly Readonly<Record<string, string>>[] = [
    { "Ambient pressure": "99.4 kPa", "Ambient temperature": "13.9 °C", "Relative humidity": "59 %" },
    { "Barometric pressure": "994 hPa", "Air temp": "13,9 °C", RH: "59" },
    { Barometer: "29.353 inHg", "Room temperature": "57.02 degF", Humidity: "0.59" },
    { "Cell pressure (abs)": "994 mbar", "Cell temperature": "57.02 F", "Humidity (relative)": "59%" },
    { BARO: "29.353", "Ambient temp": "287.05 K", "rel. humidity": "59 %" },
    { "Station pressure": "14.4168 psi", Temperature: "57.02 °F", "R.H.": "59 %" },
    { "Atmospheric pressure": "745.56 mmHg", "Outside temperature": "13.9", "Relative humidity [%]": "59" },
  ];
  for (const preamble of wordings)
    it(JSON.stringify(preamble), () => {
      const notes = readSweepNotes(preamble);
      expect(notes.pressureKpa).toBeCloseTo(99.4, 1);
      expect(notes.temperatureC).toBeCloseTo(13.9, 1);
      expect(notes.relativeHumidityPercent).toBeCloseTo(59, 6);
    });

  it("takes ambient temperature before that of the intake tract", () => {
    expect(readSweepNotes({ "Intake air temperature": "40 °C", "Ambient temperature": "20 °C" }).temperatureC).toBe(20);
    expect(readSweepNotes({ "Inlet air temperature": "31 °C" }).temperatureC).toBe(31);
  });

  it("does not take a tyre's or a rail's pressure for the barometer", () => {
    expect(readSweepNotes({ "Tyre pressure": "240 kPa", "Fuel pressure": "400 kPa", "Coolant temperature": "90 °C" })).toEqual({});
  });

  it("tells whether the rollers' inertia is in the force", () => {
    expect(readSweepNotes({ "Roller inertia included in force": "" }).isInertiaInForce).toBe(true);
    expect(readSweepNotes({ "Roller inertia not included in force": "" }).isInertiaInForce).toBe(false);
    expect(readSweepNotes({ "Roller inertia": "excluded" }).isInertiaInForce).toBe(false);
    expect(readSweepNotes({ "Inertia in force": "yes" }).isInertiaInForce).toBe(true);
    expect(readSweepNotes({ "Inertia in force": "no" }).isInertiaInForce).toBe(false);
    expect(readSweepNotes({}).isInertiaInForce).toBeUndefined();
  });

  it("reads the rollers' inertia and size", () => {
    expect(readSweepNotes({ "Roller inertia": "240 kg m²", "Roller radius": "0.40 m" })).toMatchObject({ rollerInertiaKgM2: 240, rollerRadiusM: 0.4 });
    expect(readSweepNotes({ "Drum inertia": "240 kg·m^2", "Drum diameter": "800 mm" })).toMatchObject({ rollerInertiaKgM2: 240, rollerRadiusM: 0.4 });
    expect(readSweepNotes({ "Equivalent mass": "1500 kg (not included)" })).toMatchObject({ rollerMassKg: 1500, isInertiaInForce: false });
    expect(readSweepNotes({ "Roller inertia": "3307 lb" }).rollerMassKg).toBeCloseTo(1500, 0);
  });

  it("reads gear, ratio, axle and tyre", () => {
    expect(readSweepNotes({ Gear: "4" }).gear).toBe(4);
    expect(readSweepNotes({ Gear: "4th (1.15)" })).toMatchObject({ gear: 4, gearRatio: 1.15 });
    expect(readSweepNotes({ "Gear ratio": "1.15", "Axle ratio": "3.46", "Tyre revolutions": "727.4 rev/mile" })).toMatchObject({
      gearRatio: 1.15,
      axleRatio: 3.46,
    });
    expect(readSweepNotes({ "Tyre revolutions": "727.42 rev/mile" }).tireRevsPerKm).toBeCloseTo(452, 1);
  });

  it("notices a correction that the figures carry already", () => {
    expect(readSweepNotes({ Correction: "DIN 70020" }).correction).toBe("DIN 70020");
    expect(readSweepNotes({ "Correction factor": "1.000" }).correction).toBeUndefined();
    expect(readSweepNotes({ Correction: "none" }).correction).toBeUndefined();
  });
});
