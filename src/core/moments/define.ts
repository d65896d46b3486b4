import type { SignalId } from "../units/index.ts";
import type { MomentKind } from "./moment.ts";

/** What the moments are found in: signals on one uniform clock, shape (n) each; NaN where a signal is missing. */
export interface MomentInput {
  readonly timeS: Float64Array;
  readonly dtS: number;
  readonly rpm: Float64Array;
  readonly mapKpa: Float64Array;
  readonly baroKpa: Float64Array;
  readonly throttlePercent: Float64Array;
  readonly pedalPercent: Float64Array;
  readonly vssKmh: Float64Array;
  readonly ectC: Float64Array;
  readonly injMs: Float64Array;
  readonly lambda: Float64Array;
  readonly gear: Float64Array;
  readonly idleTargetRpm: Float64Array;
}

/** One kind of moment: says which samples belong to it; spans, gaps and shortest length are handled once for all kinds. */
export interface MomentDefinition {
  readonly kind: MomentKind;
  readonly title: string;
  /** How it is recognised, in words. */
  readonly how: string;
  readonly needs: readonly SignalId[];
  readonly shortestS: number;
  /** Gaps up to this long are bridged [s]. */
  readonly bridgeS: number;
  /** 1 where the sample belongs to this kind, shape (n). */
  mark(input: MomentInput): Uint8Array;
}

export function defineMoment(definition: MomentDefinition): MomentDefinition {
  return definition;
}
