import { GAS_CONSTANT_OF_AIR_J_PER_KG_K, HEAT_RATIO_OF_AIR } from "./constants.ts";

/** An opening between two pressures: throttle plate, leak, idle passage. Effective area is discharge coefficient times area. */
export interface Orifice {
  readonly areaMm2: number;
  readonly upstreamKpa: number;
  readonly downstreamKpa: number;
  readonly upstreamK: number;
}

/**
 * Pressure ratio from which the root is replaced by a straight line to zero at 1. The root's slope is infinite at 1, so a
 * kilopascal of sensor error there would move the flow without bound. Common practice, no published source: about 0.95.
 */
export const LINEAR_ABOVE_RATIO = 0.95;

/** Downstream over upstream pressure at which the flow becomes sonic: (2/(γ+1))^(γ/(γ−1)). @source choked-flow-page; PH-03a */
export function criticalPressureRatio(heatRatio: number = HEAT_RATIO_OF_AIR): number {
  return (2 / (heatRatio + 1)) ** (heatRatio / (heatRatio - 1));
}

/** Flow number Ψ of sonic flow: √γ (2/(γ+1))^((γ+1)/(2(γ−1))). @source choked-flow-page; PH-03b */
export function chokedFlowNumber(heatRatio: number = HEAT_RATIO_OF_AIR): number {
  return Math.sqrt(heatRatio) * (2 / (heatRatio + 1)) ** ((heatRatio + 1) / (2 * (heatRatio - 1)));
}

/**
 * Flow number Ψ(pr) of a compressible flow [–], 0 at pressure ratio 1 and above, constant below the critical ratio.
 *
 *   Ψ = pr^(1/γ) √(2γ/(γ−1) (1 − pr^((γ−1)/γ)))
 *
 * Isentropic up to the throat, ideal gas. Backflow is not computed: swap the sides. NaN stays NaN.
 *
 * @source heywood-1988 (from memory); PH-03e, PH-03f
 */
export function flowNumber(pressureRatio: number, heatRatio: number = HEAT_RATIO_OF_AIR): number {
  if (pressureRatio >= 1) return 0;
  if (pressureRatio <= criticalPressureRatio(heatRatio)) return chokedFlowNumber(heatRatio);
  const exponent = (heatRatio - 1) / heatRatio;
  return pressureRatio ** (1 / heatRatio) * Math.sqrt(((2 * heatRatio) / (heatRatio - 1)) * (1 - pressureRatio ** exponent));
}

/**
 * Flow number with the steep end made straight: as `flowNumber` below `linearAbove`, from there a line to 0 at ratio 1.
 * Continuous and falling throughout, slope bounded, so that it may stand in a fit.
 *
 * @source heywood-1988 (from memory), common-practice for the line
 */
export function linearisedFlowNumber(pressureRatio: number, linearAbove: number = LINEAR_ABOVE_RATIO, heatRatio: number = HEAT_RATIO_OF_AIR): number {
  if (pressureRatio >= 1) return 0;
  if (!(pressureRatio > linearAbove)) return flowNumber(pressureRatio, heatRatio);
  return (flowNumber(linearAbove, heatRatio) * (1 - pressureRatio)) / (1 - linearAbove);
}

/**
 * Air through an opening [g/s]: ṁ = A p0 / √(R T0) · Ψ.
 *
 * @param linearAbove  pressure ratio from which the flow is a straight line (`LINEAR_ABOVE_RATIO` for fits); 1 keeps the root
 * @source heywood-1988 (from memory), choked-flow-page; PH-03c, PH-03e, PH-03f
 */
export function orificeFlowGps(at: Orifice, linearAbove = 1): number {
  return at.areaMm2 * orificeFlowGpsPerMm2(at, linearAbove);
}

/** Air through one square millimetre of opening [g/s per mm²]. @source heywood-1988 (from memory) */
export function orificeFlowGpsPerMm2(at: Omit<Orifice, "areaMm2">, linearAbove = 1): number {
  const ratio = at.downstreamKpa / at.upstreamKpa;
  const number = linearisedFlowNumber(ratio, linearAbove);
  return (at.upstreamKpa / Math.sqrt(GAS_CONSTANT_OF_AIR_J_PER_KG_K * at.upstreamK)) * number; // mm²·kPa = 1e-3 N, kg to g: factors cancel
}

/** Effective opening that passes a flow [mm²]; infinite where no pressure drives it. @source heywood-1988 (from memory); PH-03d */
export function orificeAreaMm2(flowGps: number, at: Omit<Orifice, "areaMm2">, linearAbove = 1): number {
  return flowGps / orificeFlowGpsPerMm2(at, linearAbove);
}
