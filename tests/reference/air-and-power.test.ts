import { describe, expect, it } from "vitest";
import {
  cipmAirDensityKgM3,
  dryPressureKpa,
  dryShareFraction,
  geopotentialM,
  humidityRatio,
  moistAirDensityKgM3,
  saturationPressureKpa,
  standardAtmosphere,
  vapourPressureKpa,
} from "../../src/core/physics/index.ts";
import { powerStandard, saeJ1349WithFrictionKw } from "../../src/core/pulls/index.ts";
import { expectClose, type Row, rowById, rowsOf } from "./rows.ts";

const rows = rowsOf("air-and-power.csv");
const ofKind = (kind: string): readonly Row[] => rows.filter((row) => row.kind === kind);
const airOf = (row: Row) => ({ temperatureC: Number(row.temp_C), pressureKpa: Number(row.pressure_kPa), relativeHumidityPercent: Number(row.rh_pct) });

describe("standard atmosphere", () => {
  for (const row of ofKind("standard-atmosphere"))
    it(`${row.quantity} at ${row.altitude_m} m (${row.id})`, () => {
      const height = Number(row.altitude_m);
      const day = standardAtmosphere(row.label!.includes("geometric") ? geopotentialM(height) : height);
      const value = { temperature: day.temperatureK, pressure: day.pressureKpa, density: day.densityKgM3 }[row.quantity!]!;
      expectClose(value, Number(row.value), { relative: 1e-7 }); // eight digits printed
    });
});

describe("saturation pressure of water", () => {
  for (const row of ofKind("saturation-pressure"))
    it(`${row.temp_C} °C, ${row.formula} (${row.id})`, () => {
      const pressure = saturationPressureKpa(Number(row.temp_C));
      if (row.formula === "IF97 region 4") expectClose(pressure, Number(row.value), { relative: 1e-6 });
      // Rows of other formulas say by how many percent they differ from the one in use.
      else expectClose(100 * (Number(row.value) / pressure - 1), Number(row.variant_value), { absolute: 1e-5 });
    });
});

describe("density of moist air", () => {
  for (const row of ofKind("moist-air-density"))
    it(`${row.temp_C} °C, ${row.pressure_kPa} kPa, ${row.rh_pct} % (${row.id})`, () => {
      const air = airOf(row);
      if (row.id!.startsWith("AP-MOIST")) {
        expectClose(moistAirDensityKgM3(air), Number(row.value), { relative: 1e-6 });
        return;
      }
      expectClose(cipmAirDensityKgM3(air, Number(row.co2_fraction)), Number(row.value), { relative: 1e-6 });
      expectClose(moistAirDensityKgM3(air), Number(row.variant_value), { relative: 1e-6 });
      expectClose(moistAirDensityKgM3(air), Number(row.value), { relative: 5e-4 }); // stated reach of the ideal-gas form
    });
});

describe("humidity", () => {
  for (const row of ofKind("humidity"))
    it(`${row.temp_C} °C, ${row.rh_pct} % (${row.id})`, () => {
      const ratio = humidityRatio(airOf(row));
      expectClose(1000 * ratio, Number(row.value), { relative: 1e-5 }); // the sheet prints water over air as 0.62196
      expectClose(100 * (1 - dryShareFraction(ratio)), Number(row.variant_value), { relative: 1e-5 });
    });
});

const STANDARD_OF_ROW: Readonly<Record<string, string>> = {
  J1349: "sae-j1349",
  ISO1585: "iso-1585",
  R85: "un-r85",
  JISD1001: "jis-d-1001",
  DIN70020: "din-70020",
  J607: "older-60f",
};

describe("power correction", () => {
  for (const row of ofKind("power-factor").filter((candidate) => candidate.id !== "AP-J1349-FRICTION"))
    it(`${row.label} (${row.id})`, () => {
      const standard = powerStandard(STANDARD_OF_ROW[row.id!.split("-")[1]!]!);
      const vapourKpa = Number(row.vapour_pressure_kPa);
      // The reference states name vapour pressure, not humidity.
      const humidity = row.rh_pct === "" ? (100 * vapourKpa) / saturationPressureKpa(Number(row.temp_C)) : Number(row.rh_pct);
      const air = { ...airOf(row), relativeHumidityPercent: humidity };
      expectClose(vapourPressureKpa(air), vapourKpa, { absolute: 1e-6 });
      expectClose(dryPressureKpa(air), Number(row.dry_pressure_kPa), { relative: 1e-6 });
      // Four digits are asked for; the formula is the same, so eight come back.
      expectClose(standard.factor(air), Number(row.value), { relative: 1e-6 });
      expect(standard.validity(air)).toBe(row.in_validity);
    });

  it("SAE J1349 with friction power measured: 250 kW brake, 45 kW friction (AP-J1349-FRICTION)", () => {
    const row = rowById(rows, "AP-J1349-FRICTION");
    expectClose(saeJ1349WithFrictionKw({ brakeKw: 250, frictionKw: 45 }, airOf(row)), Number(row.value), { relative: 1e-6 });
  });
});
