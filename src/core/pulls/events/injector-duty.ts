import { injectorDutyFraction } from "../../physics/index.ts";
import { runsAbove, type SweepEvent, type SweepSignals, whereInWords } from "./signals.ts";

/** Shares of the cycle. @source RT-01, CA-17 */
const WATCH_ABOVE = 0.85;
const STOP_ABOVE = 0.9;

/** Injectors held open for so much of the cycle that they may no longer close. */
export function injectorDuty(signals: SweepSignals): SweepEvent[] {
  const pulse = signals.signal("injMs");
  if (pulse === undefined) return [];
  const duty = pulse.map((ms, i) => injectorDutyFraction(ms, signals.rpm[i]!));
  const excess = duty.map((share) => share - WATCH_ABOVE);
  return runsAbove(signals, excess, { leastS: 0.1, bridgeS: 0.3 }).map((run) => ({
    check: "pull.injector-duty",
    ...run,
    rpm: signals.rpm[run.worst]!,
    size: duty[run.worst]!,
    isStop: duty[run.worst]! > STOP_ABOVE,
    text:
      `injector duty ${(100 * duty[run.worst]!).toFixed(0)} % (${pulse[run.worst]!.toFixed(1)} ms) ` +
      whereInWords(signals.timeS[run.worst]!, signals.rpm[run.worst]!),
  }));
}
