import type { SignalId } from "../core/units/index.ts";

/** Colour slot and dash of a line; the same for a signal in every picture. */
export interface LineStyle {
  readonly slot: number;
  readonly dash: "" | "dash" | "dots" | "dashdot";
}

export const SIGNAL_SLOTS = 8;

/** Families of signals share a colour; within a family the dash tells them apart. */
const FAMILIES: readonly (readonly SignalId[])[] = [
  ["rpm", "idleTarget", "turbineRpm", "slip"],
  ["lambda", "lambdaTarget", "o2v1", "o2v2"],
  ["map", "mapTarget", "baro", "linePressure"],
  ["stft1", "ltft1", "stft2", "ltft2"],
  ["tp1", "tp2", "pedal", "closedLoop"],
  ["spark", "knockRetard", "injMs", "battery"],
  ["ect", "iat", "torque", "rollerForceN"],
  ["maf", "mafHz", "idleAirTarget", "idleAirAdapt"],
  ["vss", "rollerKmh", "gear", "lockupDuty"],
];
const DASHES: readonly LineStyle["dash"][] = ["", "dash", "dots", "dashdot"];

/** Style of a signal's line; lines that are not signals of a recording are given by name and get a slot of their own kind. */
export function lineStyle(signal: string): LineStyle {
  const family = FAMILIES.findIndex((ids) => (ids as readonly string[]).includes(signal));
  if (family >= 0) return { slot: family % SIGNAL_SLOTS, dash: DASHES[(FAMILIES[family] as readonly string[]).indexOf(signal) % DASHES.length]! };
  let sum = 0;
  for (const letter of signal) sum = (sum * 31 + letter.charCodeAt(0)) % 9973;
  return { slot: sum % SIGNAL_SLOTS, dash: "" };
}
