import type { FaultId } from "../../result/index.ts";
import { type CorrectionInput, HOLD_PROBABILITY, probabilityOf } from "../define.ts";
import { fitInjectors, type InjectorFit } from "./injector-fit.ts";
import { injectorSamples } from "./injector-samples.ts";

/** From here on the air tables are trusted and the injectors looked at. */
const SUSPECTED_FROM = 0.3;
/** A story of two faults is rarer than one, and its parts are already in the suspects. Common practice, no published source. */
const SHARE_OF_BOTH = 0.2;
const LEAST_PRIOR = 0.05;

/** Faults that bend the fuel residual as injectors would: while one of them leads, injector tables are not to be rewritten. */
export const POISONS_INJECTORS: readonly FaultId[] = [
  "fuel.delivery-low",
  "exhaust.leak-ahead-of-sensor",
  "sensor.map-bias",
  "air.unmetered-leak",
  "air.meter-low",
  "air.meter-high",
];

export type Suspicion =
  /** Injectors lead the suspects: their tables are the correction. */
  | { readonly kind: "leading" }
  /** Something else leads that would poison the fit. */
  | { readonly kind: "behind"; readonly fault: string }
  | { readonly kind: "none" };

/** Whether what is wrong is thought to lie in the injectors. */
export function injectorSuspicion({ suspects }: Pick<CorrectionInput, "suspects">): Suspicion {
  const injectors = injectorProbability(suspects);
  if (injectors < SUSPECTED_FROM) return { kind: "none" };
  const others = suspects.filter(({ fault }) => !fault.startsWith("fuel.injector-")).sort((a, b) => b.probability - a.probability);
  const next = others[0];
  if (injectors >= HOLD_PROBABILITY || next === undefined || injectors >= next.probability) return { kind: "leading" };
  return (POISONS_INJECTORS as readonly string[]).includes(next.fault) ? { kind: "behind", fault: next.fault } : { kind: "none" };
}

function injectorProbability(suspects: CorrectionInput["suspects"]): number {
  return probabilityOf(suspects, "fuel.injector-flow-mismatch") + probabilityOf(suspects, "fuel.injector-dead-time-mismatch");
}

/** The fit, weighed by what the diagnosis thinks; undefined when nobody suspects the injectors or the drive says too little. */
export function injectorFitOf(input: CorrectionInput): InjectorFit | undefined {
  if (injectorSuspicion(input).kind === "none") return undefined;
  const flow = probabilityOf(input.suspects, "fuel.injector-flow-mismatch");
  const deadTime = probabilityOf(input.suspects, "fuel.injector-dead-time-mismatch");
  return fitInjectors(injectorSamples(input.observations, input.calibration, input.intake), {
    flow: LEAST_PRIOR + flow,
    deadTime: LEAST_PRIOR + deadTime,
    both: LEAST_PRIOR + SHARE_OF_BOTH * Math.min(1, flow + deadTime),
  });
}
