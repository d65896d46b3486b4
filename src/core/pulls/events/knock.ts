import { runsAbove, type SweepEvent, type SweepSignals, whereInWords } from "./signals.ts";

/** Retard that calls for less spark where it repeats, and retard that ends a pull [deg]. @source RT-17, RT-18, CA-16 */
const REPEATABLE_DEG = 3;
const LIFT_DEG = 5;

/** Knock retard of 3 degrees and more. Whether it repeats is told over all sweeps together. */
export function knockRetard(signals: SweepSignals): SweepEvent[] {
  const retard = signals.signal("knockRetard");
  if (retard === undefined) return [];
  const excess = retard.map((deg) => deg - REPEATABLE_DEG + 1e-9);
  return runsAbove(signals, excess, { leastS: 0, bridgeS: 0.5 }).map((run) => ({
    check: "pull.knock",
    ...run,
    rpm: signals.rpm[run.worst]!,
    size: retard[run.worst]!,
    isStop: retard[run.worst]! >= LIFT_DEG,
    text: `knock retard ${retard[run.worst]!.toFixed(1)}° ${whereInWords(signals.timeS[run.worst]!, signals.rpm[run.worst]!)}`,
  }));
}
