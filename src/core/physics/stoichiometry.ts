/** Atoms of a fuel, C_x H_y O_z; an average molecule may have fractions of atoms. */
export interface FuelFormula {
  readonly carbon: number;
  readonly hydrogen: number;
  readonly oxygen: number;
}

/** IUPAC abridged atomic masses [g/mol]. @source iupac-atomic-masses */
const MASS = { carbon: 12.011, hydrogen: 1.008, oxygen: 15.999 } as const;
/** Dry air [g/mol] and its oxygen [mole fraction]. @source cipm-2007 */
const AIR = { molarMass: 28.96546, oxygenFraction: 0.20939 } as const;

export const ETHANOL: FuelFormula = { carbon: 2, hydrogen: 6, oxygen: 1 };
/** Gasoline without oxygenate as CH1.85, the usual figure of test gasoline. @source heywood-1988 (from memory); ST-GAS-CH185 */
export const GASOLINE: FuelFormula = { carbon: 1, hydrogen: 1.85, oxygen: 0 };
/** The hydrocarbon whose stoichiometric ratio is the customary 14.7. @source common-practice; ST-GAS-147 */
export const CUSTOMARY_GASOLINE: FuelFormula = { carbon: 1, hydrogen: 1.9341, oxygen: 0 };

/** Densities at 15 °C [kg/m³]. @source oiml-r22 (ethanol), cfr-600-appendix-2 (gasoline) */
export const ETHANOL_DENSITY_KG_M3 = 793.51;
export const GASOLINE_DENSITY_KG_M3 = 745;

/** Lower heating values [MJ/kg]. @source stoich-table; ST-ETHANOL, ST-GAS-CH185 */
export const ETHANOL_LHV_MJ_PER_KG = 26.82;
export const GASOLINE_LHV_MJ_PER_KG = 42.98;

function molarMass(fuel: FuelFormula): number {
  return MASS.carbon * fuel.carbon + MASS.hydrogen * fuel.hydrogen + MASS.oxygen * fuel.oxygen;
}

/**
 * Stoichiometric air-fuel ratio by mass [–] from what the fuel is made of.
 *
 *   AFR = (x + y/4 − z/2) · M_air/x_O2 / M_fuel, for C_x H_y O_z
 *
 * @param air  molar mass and oxygen of the air; left out: dry air of CIPM-2007
 * @source stoich-table; ST-ISOOCTANE to ST-GAS-1464
 */
export function stoichiometricAfr(fuel: FuelFormula, air: { readonly molarMass: number; readonly oxygenFraction: number } = AIR): number {
  const oxygenNeeded = fuel.carbon + fuel.hydrogen / 4 - fuel.oxygen / 2;
  return (oxygenNeeded * air.molarMass) / air.oxygenFraction / molarMass(fuel);
}

/** Share of each element by mass [fraction]. @source stoich-table */
export function massFractions(fuel: FuelFormula): { readonly carbon: number; readonly hydrogen: number; readonly oxygen: number } {
  const whole = molarMass(fuel);
  return {
    carbon: (MASS.carbon * fuel.carbon) / whole,
    hydrogen: (MASS.hydrogen * fuel.hydrogen) / whole,
    oxygen: (MASS.oxygen * fuel.oxygen) / whole,
  };
}

/** Ethanol's share by mass [fraction] of a blend named by volume [fraction]. @source stoich-table; ST-E10 */
export function ethanolMassFraction(ethanolVolumeFraction: number): number {
  const ethanol = ethanolVolumeFraction * ETHANOL_DENSITY_KG_M3;
  return ethanol / (ethanol + (1 - ethanolVolumeFraction) * GASOLINE_DENSITY_KG_M3);
}

/**
 * Stoichiometric ratio of gasoline with ethanol by volume [–]. The base is CH1.85 unless the trade's 14.7 gasoline is asked for:
 * E10 is 13.99 with the one and 14.10 with the other, so a table value between 13.9 and 14.2 is right for E10.
 *
 * @source stoich-table; ST-E05 to ST-E85, ST-E10-147, ST-E85-147
 */
export function blendAfr(ethanolVolumeFraction: number, base: FuelFormula = GASOLINE): number {
  const ethanol = ethanolMassFraction(ethanolVolumeFraction);
  return ethanol * stoichiometricAfr(ETHANOL) + (1 - ethanol) * stoichiometricAfr(base);
}

/** Atoms of a blend, one carbon. @source stoich-table */
export function blendFormula(ethanolVolumeFraction: number, base: FuelFormula = GASOLINE): FuelFormula {
  const mass = ethanolMassFraction(ethanolVolumeFraction);
  const ethanolMol = mass / molarMass(ETHANOL);
  const baseMol = (1 - mass) / molarMass(base);
  const carbon = ethanolMol * ETHANOL.carbon + baseMol * base.carbon;
  return {
    carbon: 1,
    hydrogen: (ethanolMol * ETHANOL.hydrogen + baseMol * base.hydrogen) / carbon,
    oxygen: (ethanolMol * ETHANOL.oxygen + baseMol * base.oxygen) / carbon,
  };
}

/** Density of a blend at 15 °C [kg/m³], volumes adding up. @source stoich-table; ST-E10 */
export function blendDensityKgM3(ethanolVolumeFraction: number): number {
  return ethanolVolumeFraction * ETHANOL_DENSITY_KG_M3 + (1 - ethanolVolumeFraction) * GASOLINE_DENSITY_KG_M3;
}

/** Lower heating value of a blend [MJ/kg]. @source stoich-table; ST-E10 */
export function blendHeatingValueMjPerKg(ethanolVolumeFraction: number): number {
  const ethanol = ethanolMassFraction(ethanolVolumeFraction);
  return ethanol * ETHANOL_LHV_MJ_PER_KG + (1 - ethanol) * GASOLINE_LHV_MJ_PER_KG;
}
