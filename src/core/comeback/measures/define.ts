import type { Observations } from "../../residuals/index.ts";
import type { TwoDays } from "../conditions.ts";

/** A figure of the vehicle by itself, that a person would compare from visit to visit. */
export interface Measure {
  readonly id: string;
  readonly title: string;
  readonly unit: string;
  /** How far it strays between two visits of a sound vehicle for reasons nobody records, one standard deviation. Common practice, no published source. */
  usualSd(value: number): number;
  /** By how much it moves because of the day and the tank alone, and how surely; left out: not at all. */
  byTheDay?(days: TwoDays): { readonly by: number; readonly sd: number };
  /** One figure a spell of a recording in which it can be seen; empty where it cannot. */
  spells(o: Observations): readonly number[];
}

export function defineMeasure(measure: Measure): Measure {
  return measure;
}
