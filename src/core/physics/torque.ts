/** kW = N·m · rpm / this, exact: 60 000 / (2π). @source definition; PH-17a */
export const NM_RPM_PER_KW = 60_000 / (2 * Math.PI);

/** hp = lbf·ft · rpm / this, exact: 33 000 / (2π). @source definition; PH-17b */
export const LBFT_RPM_PER_HP = 33_000 / (2 * Math.PI);

/** Mechanical horsepower [kW]: 550 lbf·ft/s. @source scipy-constants; PH-17d */
export const KW_PER_HP = 0.7456998715822702;

/** Metric horsepower [kW]: 75 kgf·m/s, exact. @source scipy-constants; PH-17e */
export const KW_PER_METRIC_HP = 0.73549875;

/** Pound-force foot [N·m]. @source scipy-constants; PH-17f */
export const NM_PER_LBFT = 1.3558179483314003;

/** Power of a torque [kW]. @source definition; PH-17c */
export function powerKw(torqueNm: number, rpm: number): number {
  return (torqueNm * rpm) / NM_RPM_PER_KW;
}

/** Torque of a power [N·m], referred to the speed given. @source definition; PH-16e */
export function torqueNm(power: number, rpm: number): number {
  return (power * NM_RPM_PER_KW) / rpm;
}

/** Brake mean effective pressure of a four-stroke [kPa]: 4π T / V_d. @source heywood-1988 (from memory); PH-18a */
export function bmepKpa(torque: number, displacementL: number): number {
  return (4 * Math.PI * torque) / displacementL;
}

/** Mean piston speed [m/s]: 2 S N / 60. @source heywood-1988 (from memory); PH-18b */
export function pistonSpeedMs(strokeMm: number, rpm: number): number {
  return (2 * (strokeMm / 1000) * rpm) / 60;
}
