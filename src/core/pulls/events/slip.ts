import { runsAbove, type SweepEvent, type SweepSignals, whereInWords } from "./signals.ts";

/** Converter slip with the clutch on [rpm], and how long. @source RT-24 */
const SLIP_RPM = 50;
const LONGEST_S = 2;

/** Converter clutch that slips through the sweep while its duty asks for it to hold. */
export function lockupSlip(signals: SweepSignals): SweepEvent[] {
  const turbine = signals.signal("turbineRpm");
  const slip = signals.signal("slip") ?? turbine?.map((n, i) => signals.rpm[i]! - n);
  const duty = signals.signal("lockupDuty");
  if (slip === undefined || duty === undefined) return [];
  const excess = slip.map((n, i) => (duty[i]! > 90 ? n - SLIP_RPM : Number.NaN));
  return runsAbove(signals, excess, { leastS: LONGEST_S, bridgeS: 0.3 }).map((run) => ({
    check: "pull.lockup-slip",
    ...run,
    rpm: signals.rpm[run.worst]!,
    size: slip[run.worst]!,
    isStop: false,
    text: `converter slips by ${slip[run.worst]!.toFixed(0)} rpm with the clutch fully on ${whereInWords(signals.timeS[run.worst]!, signals.rpm[run.worst]!)}, for ${(run.toS - run.fromS).toFixed(1)} s`,
  }));
}
