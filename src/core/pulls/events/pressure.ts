import { median } from "../../../base/index.ts";
import { runsAbove, type SweepEvent, type SweepSignals, whereInWords } from "./signals.ts";

/** Share of manifold pressure lost within a second, at full load, that counts as a collapse: no engine breathes so at a steady rise of speed. */
const COLLAPSE_SHARE = 0.2;
/** Boost short of its target [kPa], common practice without a published source. */
const SHORT_KPA = 15;
/** Pressure drop to ambient at full throttle [kPa]. @source RT-15 */
const RESTRICTED_KPA = 5;

/** Manifold pressure that collapses, stays short of its target, or lies far under ambient on an engine without boost. */
export function pressureAtLoad(signals: SweepSignals): SweepEvent[] {
  const map = signals.signal("map");
  if (map === undefined) return [];
  return [...collapse(signals, map), ...shortOfTarget(signals, map), ...restriction(signals, map)];
}

function collapse(signals: SweepSignals, map: Float64Array): SweepEvent[] {
  const { timeS, counts } = signals;
  let first = 0;
  const excess = map.map((kpa, i) => {
    while (timeS[first]! < timeS[i]! - 1) first++;
    let highest = kpa;
    for (let k = first; k < i; k++) if (counts[k] === 1 && map[k]! > highest) highest = map[k]!;
    return 1 - kpa / highest - COLLAPSE_SHARE;
  });
  return runsAbove(signals, excess, { leastS: 0.1 }).map((run) => ({
    check: "pull.pressure-collapse",
    ...run,
    rpm: signals.rpm[run.from]!,
    size: excess[run.worst]! + COLLAPSE_SHARE,
    isStop: true,
    text: `manifold pressure fell by ${(100 * (excess[run.worst]! + COLLAPSE_SHARE)).toFixed(0)} % within a second, to ${map[run.worst]!.toFixed(0)} kPa, ${whereInWords(run.fromS, signals.rpm[run.from]!)}`,
  }));
}

function shortOfTarget(signals: SweepSignals, map: Float64Array): SweepEvent[] {
  const target = signals.signal("mapTarget");
  if (target === undefined || !signals.isBoosted) return [];
  const excess = map.map((kpa, i) => target[i]! - kpa - SHORT_KPA);
  return runsAbove(signals, excess, { leastS: 0.5, bridgeS: 0.2, afterS: 1.5 }).map((run) => ({
    check: "pull.boost-short",
    ...run,
    rpm: signals.rpm[run.worst]!,
    size: excess[run.worst]! + SHORT_KPA,
    isStop: false,
    text: `manifold pressure ${(excess[run.worst]! + SHORT_KPA).toFixed(0)} kPa short of its target ${whereInWords(signals.timeS[run.worst]!, signals.rpm[run.worst]!)}`,
  }));
}

function restriction(signals: SweepSignals, map: Float64Array): SweepEvent[] {
  const { ambientKpa, timeS, counts, rpm } = signals;
  if (signals.isBoosted || ambientKpa === undefined) return [];
  const rows = [...timeS.keys()].filter((i) => counts[i] === 1);
  const upper = rows.slice(Math.floor(rows.length * 0.75));
  if (upper.length < 5) return [];
  const dropKpa = ambientKpa - median(upper.map((i) => map[i]!));
  if (!(dropKpa > RESTRICTED_KPA)) return [];
  const [first, last] = [upper[0]!, upper.at(-1)!];
  return [
    {
      check: "pull.intake-restricts",
      fromS: timeS[first]!,
      toS: timeS[last]!,
      rpm: rpm[first]!,
      size: dropKpa,
      isStop: false,
      text: `manifold pressure ${dropKpa.toFixed(1)} kPa under ambient above ${rpm[first]!.toFixed(0)} rpm with the throttle open; 3 is usual, 5 a lot`,
    },
  ];
}
