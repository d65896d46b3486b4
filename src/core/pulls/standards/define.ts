import type { AmbientAir } from "../../physics/index.ts";

/** Whether a standard may be applied as it stands: ambient outside its range, or a factor larger than it allows. */
export type Validity = "yes" | "conditions outside" | "factor outside 0.93-1.07" | "no limits known";

/** A rule that refers power at one ambient to power at another. Says everything about itself. */
export interface PowerStandard {
  readonly id: string;
  /** As printed beside a figure. */
  readonly name: string;
  readonly title: string;
  /** The ambient to which it refers, in words. */
  readonly reference: string;
  readonly limits: string;
  /** What the rule says of engines with a turbocharger or blower. */
  readonly boosted: string;
  readonly sources: readonly string[];
  /** Corrected power over measured power. */
  factor(air: AmbientAir): number;
  validity(air: AmbientAir): Validity;
}

export function definePowerStandard(standard: PowerStandard): PowerStandard {
  return standard;
}

/** Validity from ranges of inlet temperature [°C] and dry pressure [kPa], then from the factor's size. */
export function validityWithin(
  at: { readonly temperatureC: number; readonly dryKpa: number; readonly factor: number },
  range: { readonly temperatureC: readonly [number, number]; readonly dryKpa: readonly [number, number] },
): Validity {
  const inside = (value: number, [low, high]: readonly [number, number]): boolean => value >= low && value <= high;
  if (!inside(at.temperatureC, range.temperatureC) || !inside(at.dryKpa, range.dryKpa)) return "conditions outside";
  return at.factor < 0.93 || at.factor > 1.07 ? "factor outside 0.93-1.07" : "yes";
}
