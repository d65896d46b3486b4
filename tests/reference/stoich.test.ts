import { describe, it } from "vitest";
import {
  blendAfr,
  blendDensityKgM3,
  blendFormula,
  blendHeatingValueMjPerKg,
  CUSTOMARY_GASOLINE,
  ethanolMassFraction,
  type FuelFormula,
  GASOLINE,
  massFractions,
  stoichiometricAfr,
} from "../../src/core/physics/index.ts";
import { expectClose, type Row, rowsOf } from "./rows.ts";

// Origin: data/stoich.csv, each row with its sources. 0.02 on the ratio is the sheet's own tolerance (composition of air).
const rows = rowsOf("stoich.csv");
const isBlend = (row: Row): boolean => row.composition!.includes("mass mix");
const formulaOf = (row: Row): FuelFormula => ({ carbon: 1, hydrogen: Number(row.H_per_C), oxygen: Number(row.O_per_C) });

describe("stoichiometric ratio from composition", () => {
  for (const row of rows)
    it(`${row.fuel} (${row.id})`, () => {
      const fuel = formulaOf(row);
      expectClose(stoichiometricAfr(fuel), Number(row.afr_stoich), { absolute: 0.002 });
      expectClose(stoichiometricAfr(fuel, { molarMass: 28.962, oxygenFraction: 0.2095 }), Number(row.afr_stoich_text_air), { absolute: 0.002 });
      const shares = massFractions(fuel);
      expectClose(shares.carbon, Number(row.carbon_mass_fraction), { absolute: 5e-5 });
      expectClose(shares.hydrogen, Number(row.hydrogen_mass_fraction), { absolute: 5e-5 });
      expectClose(shares.oxygen, Number(row.oxygen_mass_fraction), { absolute: 5e-5 });
    });
});

describe("blends of gasoline and ethanol", () => {
  for (const row of rows.filter(isBlend))
    it(`${row.fuel} (${row.id})`, () => {
      const volume = Number(row.ethanol_volume_pct) / 100;
      const base = row.composition!.includes("CH1.9341") ? CUSTOMARY_GASOLINE : GASOLINE;
      expectClose(100 * ethanolMassFraction(volume), Number(row.ethanol_mass_pct), { absolute: 0.002 });
      expectClose(blendAfr(volume, base), Number(row.afr_stoich), { absolute: 0.002 });
      const formula = blendFormula(volume, base);
      expectClose(formula.hydrogen, Number(row.H_per_C), { absolute: 2e-4 });
      expectClose(formula.oxygen, Number(row.O_per_C), { absolute: 2e-5 });
      expectClose(blendDensityKgM3(volume), Number(row.density_15C_kg_m3), { absolute: 0.02 });
      expectClose(blendHeatingValueMjPerKg(volume), Number(row.lhv_MJ_kg), { relative: 0.005 }); // the sheet's tolerance for heating values
    });
});
