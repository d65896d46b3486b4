/**
 * Gas and flow relations of the virtual engine, written for it alone: what judges recordings has its own.
 *
 * Units inside this room: g/s, kPa, L, K, mm². With kPa and L, pressure times volume is joule.
 */

/** Specific gas constant of air [J/(g K)]. @source formula-sheet: symbol R */
export const AIR_J_PER_G_K = 0.28705;
const GAMMA = 1.4;
const TABLE_STEPS = 2048;
/** The root in the flow function has infinite slope at pressure ratio 1; beyond this ratio a chord replaces it. */
const CHORD_FROM = 0.985;

const psiTable = tabulatePsi();

/** Flow function Ψ of a nozzle by downstream over upstream pressure, choked below 0.528. @source PH-03, heywood-1988 appendix C (from memory) */
export function exactFlowFunction(pressureRatio: number): number {
  const critical = (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1));
  if (pressureRatio <= critical) return Math.sqrt(GAMMA) * (2 / (GAMMA + 1)) ** ((GAMMA + 1) / (2 * (GAMMA - 1)));
  if (pressureRatio >= 1) return 0;
  return pressureRatio ** (1 / GAMMA) * Math.sqrt(((2 * GAMMA) / (GAMMA - 1)) * (1 - pressureRatio ** ((GAMMA - 1) / GAMMA)));
}

function tabulatePsi(): Float64Array {
  const table = new Float64Array(TABLE_STEPS + 2);
  for (let i = 0; i <= TABLE_STEPS; i++) {
    const ratio = i / TABLE_STEPS;
    table[i] = ratio > CHORD_FROM ? (exactFlowFunction(CHORD_FROM) * (1 - ratio)) / (1 - CHORD_FROM) : exactFlowFunction(ratio);
  }
  return table;
}

/** Ψ from a table, continuous, 0 at ratio 1 and above. */
export function flowFunction(pressureRatio: number): number {
  if (pressureRatio <= 0.5) return psiTable[1]!;
  if (pressureRatio >= 1) return 0;
  const at = pressureRatio * TABLE_STEPS;
  const i = at | 0;
  return psiTable[i]! + (at - i) * (psiTable[i + 1]! - psiTable[i]!);
}

/**
 * Flow through an effective area [g/s]: A · p0 / √(R T0) · Ψ(p/p0); negative when the gas runs back.
 * mm² · kPa / √(J/kg) is g/s exactly. @source PH-03
 */
export function orificeGps(areaMm2: number, upstreamKpa: number, upstreamK: number, downstreamKpa: number): number {
  if (downstreamKpa <= upstreamKpa) return ((areaMm2 * upstreamKpa) / Math.sqrt(287.05 * upstreamK)) * flowFunction(downstreamKpa / upstreamKpa);
  return -((areaMm2 * downstreamKpa) / Math.sqrt(287.05 * upstreamK)) * flowFunction(upstreamKpa / downstreamKpa);
}

/** Air that one cylinder of the given volume takes at a volumetric efficiency [g]. @source PH-01 */
export function cylinderAirG(veFraction: number, mapKpa: number, cylinderL: number, chargeK: number): number {
  return (veFraction * mapKpa * cylinderL) / (AIR_J_PER_G_K * chargeK);
}

/** Saturation pressure of water [kPa], Magnus form. @source magnus: within 0.5 % from 0 to 50 °C */
export function saturationKpa(temperatureC: number): number {
  return 0.6112 * Math.exp((17.62 * temperatureC) / (243.12 + temperatureC));
}

/** Dry share of moist air by mass. @source PH-20 */
export function dryShare(ambient: { readonly pressureKpa: number; readonly temperatureC: number; readonly relativeHumidityPercent: number }): number {
  const vapourKpa = (ambient.relativeHumidityPercent / 100) * saturationKpa(ambient.temperatureC);
  return 1 / (1 + (0.622 * vapourKpa) / (ambient.pressureKpa - vapourKpa));
}
