import { speedKmh } from "../physics/index.ts";
import type { Intake } from "../result/index.ts";

/** A gear in which an engine speed belongs to a road speed that can be held. */
export interface GearChoice {
  readonly gear: number;
  readonly kmh: number;
}

/** Speeds that can be held on an ordinary road [km/h]. */
const ROAD_KMH = { least: 25, most: 110, best: 65, bestLoaded: 45 } as const;
const ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"];

/** Gear that brings an engine speed nearest to a speed easily held; undefined when the intake lacks ratios, axle or tyre, or no gear does. */
export function gearFor(intake: Intake, rpm: number, isLoaded: boolean): GearChoice | undefined {
  const { gearRatios, axleRatio, tireRevsPerKm } = intake.vehicle ?? {};
  if (gearRatios === undefined || axleRatio === undefined || tireRevsPerKm === undefined) return undefined;
  const choices = gearRatios.map((gearRatio, k) => ({ gear: k + 1, kmh: speedKmh(rpm, { gearRatio, axleRatio, tireRevsPerKm }) }));
  // A hill is climbed more slowly than a level road is driven, and a low gear spares the engine.
  const bestKmh = isLoaded ? ROAD_KMH.bestLoaded : ROAD_KMH.best;
  const held = choices.filter(({ kmh }) => kmh >= ROAD_KMH.least && kmh <= ROAD_KMH.most);
  return held.sort((a, b) => Math.abs(Math.log(a.kmh / bestKmh)) - Math.abs(Math.log(b.kmh / bestKmh)))[0];
}

export function ordinalGear(gear: number): string {
  return ORDINALS[gear - 1] ?? `gear ${gear}`;
}
