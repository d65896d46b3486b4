import type { RecordingView } from "../../api/index.ts";
import { type LineStyle, lineStyle, niceRange } from "../../drawing/index.ts";
import type { Shown as ShownUnit } from "../state/units.ts";
import { extremesOf, type Shown } from "./use-window.ts";

/** One line of a lane, in the person's unit. */
export interface LaneSeries {
  readonly signal: string;
  readonly name: string;
  readonly style: LineStyle;
}

/** One lane: signals of one quantity on one axis. */
export interface Lane {
  readonly series: readonly LaneSeries[];
  readonly unit: string;
  readonly show: (value: number) => number;
  readonly range: readonly [number, number];
}

/** Signals that belong into one lane, because one is judged by the other; also the order of lanes. */
const TOGETHER: readonly (readonly string[])[] = [
  ["rpm", "idleTarget", "turbineRpm"],
  ["map", "mapTarget", "baro"],
  ["lambda", "lambdaTarget"],
  ["stft1", "ltft1", "stft2", "ltft2"],
  ["maf", "controllerAir"],
  ["tp1", "tp2", "pedal"],
  ["idleAirTarget", "idleAirAdapt", "idleResidual"],
  ["o2v1", "o2v2"],
  ["spark", "knockRetard"],
  ["ect", "iat"],
  ["fuelResidual", "modelResidual"],
];
const USUAL = ["rpm", "idleTarget", "map", "lambda", "lambdaTarget", "stft1", "ltft1", "maf", "tp1"];
const KEY = "signals drawn";

/** The signals to draw at first: those this person last chose, else what most questions are answered by. */
export function signalsAtFirst(available: readonly string[]): readonly string[] {
  const kept = (localStorage.getItem(KEY) ?? "").split(",").filter((signal) => available.includes(signal));
  if (kept.length > 0) return kept;
  const usual = USUAL.filter((signal) => available.includes(signal));
  return usual.length > 0 ? usual : available.slice(0, 4);
}

export function rememberSignals(signals: readonly string[]): void {
  localStorage.setItem(KEY, signals.join(","));
}

/** Lays signals out in lanes: what belongs together and has one unit shares an axis, as long as what is in sight needs. */
export function lanesOf(recording: RecordingView, signals: readonly string[], inSight: Shown | undefined, units: (unit: string) => ShownUnit): readonly Lane[] {
  const groups: string[][] = [];
  const place = (signal: string): number => {
    const at = TOGETHER.findIndex((ids) => ids.includes(signal));
    return at < 0 ? TOGETHER.length : at;
  };
  for (const signal of [...signals].sort((a, b) => place(a) - place(b))) {
    const friends = TOGETHER[place(signal)];
    const lane =
      friends === undefined ? undefined : groups.find((group) => friends.includes(group[0]!) && unitOf(recording, group[0]!) === unitOf(recording, signal));
    if (lane === undefined) groups.push([signal]);
    else lane.push(signal);
  }
  return groups.map((ids) => {
    const shown = units(unitOf(recording, ids[0]!));
    const ends = ids.flatMap((id) => {
      const seen = inSight === undefined ? undefined : extremesOf(inSight, id, inSight.span);
      return seen === undefined ? [] : [shown.show(seen.least), shown.show(seen.greatest)];
    });
    return {
      series: ids.map((id) => ({ signal: id, name: recording.signals.find((one) => one.id === id)?.name ?? id, style: lineStyle(id) })),
      unit: shown.unit,
      show: shown.show,
      range: ends.length === 0 ? [0, 1] : niceRange(Math.min(...ends), Math.max(...ends), 3),
    };
  });
}

function unitOf(recording: RecordingView, signal: string): string {
  return recording.signals.find((one) => one.id === signal)?.unit ?? "";
}
