/** Curvature of torque lost against retard from best [1/deg²]: one engine's regression, a shape and not a constant. @source open-mvem, hendricks-sorenson-1990 (from memory) */
export const SPARK_LOSS_PER_DEG2 = 0.00048;

/** Share of torque lost at a retard from best torque [fraction]: c δ². @source open-mvem; PH-19a, PH-19b */
export function sparkLossFraction(retardDeg: number, perDeg2: number = SPARK_LOSS_PER_DEG2): number {
  return perDeg2 * retardDeg ** 2;
}

/** Retard that takes away a share of torque [deg]: √(share/c); infinite where the loss curve is zero. @source open-mvem; PH-19c */
export function retardForLossDeg(lossFraction: number, perDeg2: number = SPARK_LOSS_PER_DEG2): number {
  return Math.sqrt(lossFraction / perDeg2);
}

/** First knock mode of a cylinder [Hz]: 1.841 c / (π B). @source draper-1938 (from memory); PH-19d */
export function knockFrequencyHz(boreMm: number, soundMs = 950): number {
  return (1.841 * soundMs) / ((Math.PI * boreMm) / 1000);
}
