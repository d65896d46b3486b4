/** A labelled span of a recording. */
export interface Moment {
  readonly kind: MomentKind;
  readonly fromS: number;
  readonly toS: number;
}

export const MOMENT_KINDS = ["crank", "warm-up", "warm-idle", "cruise", "tip-in", "fuel-cut", "full-load", "shift"] as const;
export type MomentKind = (typeof MOMENT_KINDS)[number];
