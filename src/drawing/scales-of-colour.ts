import { clamp } from "../base/index.ts";
import { hexOf, mix, type OkLab, okLabOf, okLch } from "./colour.ts";

/** Steps of the scale of values; enough that a step is not seen as an edge. */
export const VALUE_STEPS = 32;
/** Steps of the scale of differences on either side of none. */
export const DIFFERENCE_STEPS = 12;

const LOW: OkLab = okLch(0.28, 0.07, 255);
const HIGH: OkLab = okLch(0.92, 0.1, 95);
/** Pull towards green in the middle: keeps the scale from passing through grey, where hues die. */
const BOW_A = -0.035;

/**
 * Colour of a value, 0 low to 1 high. Lightness rises in a straight line, hue goes from deep blue to straw along the axis that the
 * common colour deficiencies keep; a slight bow to green keeps the middle from turning grey.
 */
export function valueColour(share: number): OkLab {
  const t = clamp(share, 0, 1);
  const straight = mix(LOW, HIGH, t);
  return { ...straight, a: straight.a + BOW_A * 4 * t * (1 - t) };
}

/** Step of a value between low and high, 0 … VALUE_STEPS − 1; undefined where there is no value. */
export function valueStep(value: number, low: number, high: number): number | undefined {
  if (!Number.isFinite(value)) return undefined;
  const share = high > low ? (value - low) / (high - low) : 0.5;
  return clamp(Math.floor(share * VALUE_STEPS), 0, VALUE_STEPS - 1);
}

/**
 * Step of a difference: 0 exactly for no difference, else ±1 … ±DIFFERENCE_STEPS, saturating at ±limit. The smallest difference
 * is already a step away from none, so that "unchanged" and "changed a little" never look alike.
 */
export function differenceStep(difference: number, limit: number): number | undefined {
  if (!Number.isFinite(difference)) return undefined;
  if (difference === 0) return 0;
  const size = limit > 0 ? Math.abs(difference) / limit : 1;
  return Math.sign(difference) * clamp(Math.ceil(size * DIFFERENCE_STEPS), 1, DIFFERENCE_STEPS);
}

/** The value scale as "#rrggbb", low to high. */
export function valueScale(): string[] {
  return Array.from({ length: VALUE_STEPS }, (_, i) => hexOf(valueColour((i + 0.5) / VALUE_STEPS)));
}

/** The difference scale as "#rrggbb" on a ground: purple for less, orange for more, both ends equally far from the ground. */
export function differenceScale(ground: string, less: OkLab, more: OkLab): { less: string[]; more: string[] } {
  const from = okLabOf(ground);
  const towards = (end: OkLab): string[] =>
    Array.from({ length: DIFFERENCE_STEPS }, (_, i) => hexOf(mix(from, end, 0.14 + (0.86 * (i + 1)) / DIFFERENCE_STEPS)));
  return { less: towards(less), more: towards(more) };
}
