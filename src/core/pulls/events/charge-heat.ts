import type { SweepEvent, SweepSignals } from "./signals.ts";

/** Rise of intake air within one sweep, and temperature [°C], that are worth a look; common practice without a published source. */
const RISE_C = 15;
const HOT_C = 65;

/** Intake air that heats through the sweep: the next one will not repeat, and knock comes nearer. */
export function chargeHeat(signals: SweepSignals): SweepEvent[] {
  const iat = signals.signal("iat");
  if (iat === undefined) return [];
  const rows = [...signals.timeS.keys()].filter((i) => signals.counts[i] === 1);
  if (rows.length === 0) return [];
  const [first, last] = [rows[0]!, rows.at(-1)!];
  const riseC = iat[last]! - iat[first]!;
  if (!(riseC > RISE_C || iat[last]! > HOT_C)) return [];
  return [
    {
      check: "pull.charge-heat",
      fromS: signals.timeS[first]!,
      toS: signals.timeS[last]!,
      rpm: signals.rpm[last]!,
      size: iat[last]!,
      isStop: false,
      text: `intake air from ${iat[first]!.toFixed(0)} to ${iat[last]!.toFixed(0)} °C within the sweep`,
    },
  ];
}
