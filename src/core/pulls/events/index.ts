import { chargeHeat } from "./charge-heat.ts";
import { injectorDuty } from "./injector-duty.ts";
import { knockRetard } from "./knock.ts";
import { leanAtLoad } from "./lean.ts";
import { pressureAtLoad } from "./pressure.ts";
import type { SweepEvent, SweepSignals } from "./signals.ts";
import { lockupSlip } from "./slip.ts";

export { type SweepEvent, type SweepSignals, signalsOfSweep } from "./signals.ts";

const WATCHERS: readonly ((signals: SweepSignals) => readonly SweepEvent[])[] = [chargeHeat, injectorDuty, knockRetard, leanAtLoad, lockupSlip, pressureAtLoad];

/** Everything the watchers see in one sweep, in the order of time. */
export function eventsOfSweep(signals: SweepSignals): readonly SweepEvent[] {
  return WATCHERS.flatMap((watch) => watch(signals)).sort((a, b) => a.fromS - b.fromS || (a.check < b.check ? -1 : 1));
}
