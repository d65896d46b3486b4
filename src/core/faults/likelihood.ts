import type { Evidence } from "../result/index.ts";
import { normalCdf } from "../statistics/index.ts";
import type { DirectEvidence } from "./define.ts";

/** Density of a normal distribution. */
export function normalDensity(x: number, centre: number, sd: number): number {
  const z = (x - centre) / sd;
  return Math.exp(-0.5 * z * z) / (sd * Math.sqrt(2 * Math.PI));
}

/** Density of a value evenly spread over [low, high] and then seen with normal noise. */
export function spreadDensity(x: number, low: number, high: number, sd: number): number {
  return (normalCdf((x - low) / sd) - normalCdf((x - high) / sd)) / (high - low);
}

/** ln of a likelihood ratio, bounded: no single sign decides a diagnosis alone. */
export function boundedLogRatio(withFault: number, without: number, bound = 9): number {
  const ratio = Math.log((withFault + 1e-12) / (without + 1e-12));
  return Number.isNaN(ratio) ? 0 : Math.max(-bound, Math.min(bound, ratio));
}

/** A sign turned into evidence for or against, by which way it points; silent when it hardly points. */
export function evidenceOf(logRatio: number, statement: Evidence, more: Partial<DirectEvidence> = {}): DirectEvidence {
  return {
    logRatio,
    for: logRatio > 0.3 ? [statement] : [],
    against: logRatio < -0.3 ? [statement] : [],
    ...more,
  };
}

/** Signals say nothing; why. */
export function silent(couldNot?: string): DirectEvidence {
  return { logRatio: 0, for: [], against: [], ...(couldNot === undefined ? {} : { couldNot: [couldNot] }) };
}
