import type { ExhaustAlignment } from "./observations.ts";
import { atFraction, firstOrderLag } from "./smoothing.ts";

/** Beyond these a wide-range reading is the end of the scale, not a mixture. */
export const LAMBDA_LOW = 0.66;
export const LAMBDA_HIGH = 1.55;

/** Delay from injection to the sensor at an airflow [s], PH-09: a fixed part and a part that flow shortens. */
export function exhaustDelayS(alignment: ExhaustAlignment, airflowGps: number): number {
  return alignment.fixedS + alignment.perFlowG / Math.max(airflowGps, 1.5);
}

/**
 * Lambda of the mixture made at each instant: the reading that arrives after the delay; NaN at the ends of the scale. Shape (n).
 * The sensor's lag is not undone here (that would amplify noise): the command is lagged instead, see `fuelResidualLn`.
 */
export function lambdaAtMixture(lambdaRaw: Float64Array, airflowGps: Float64Array, alignment: ExhaustAlignment, dtS: number): Float64Array {
  return lambdaRaw.map((_, i) => {
    const flow = airflowGps[i]!;
    if (Number.isNaN(flow)) return Number.NaN;
    const value = atFraction(lambdaRaw, i + exhaustDelayS(alignment, flow) / dtS);
    return value > LAMBDA_LOW && value < LAMBDA_HIGH ? value : Number.NaN;
  });
}

/**
 * Fuel residual, shape (n): r = ln(λ_measured/λ_target) + ln(1 + STFT) + ln(1 + LTFT), by how much the real air over the
 * real fuel differs from what the controller assumed. The command side passes through the sensor's lag so that both sides are
 * seen alike. Without a wide-range reading the loop, where closed, says λ = λ_target; in open loop nothing is known.
 */
export function fuelResidualLn(signals: {
  lambda: Float64Array;
  lambdaTarget: Float64Array;
  trimLn: Float64Array;
  closedLoop: Float64Array;
  lagS: number;
  dtS: number;
  widebandUsable: boolean;
}): Float64Array {
  const { lambda, lambdaTarget, trimLn, closedLoop, lagS, dtS, widebandUsable } = signals;
  if (!widebandUsable) return trimLn.map((trim, i) => (closedLoop[i] === 1 ? trim : Number.NaN));
  const commandLn = firstOrderLag(
    lambdaTarget.map((target, i) => Math.log(target) - trimLn[i]!),
    lagS,
    dtS,
  );
  return lambda.map((measured, i) => (Number.isNaN(lambdaTarget[i]!) || Number.isNaN(trimLn[i]!) ? Number.NaN : Math.log(measured) - commandLn[i]!));
}
