import { onClock } from "../../recordings/index.ts";
import type { Observations } from "../../residuals/index.ts";
import { defineMeasure } from "./define.ts";
import { overMinutes } from "./spells.ts";

/** The clutch needs its time to close after full command. Common practice, no published source. */
const CLOSED_AFTER_S = 1.5;
const FULL_PERCENT = 90;

export default defineMeasure({
  id: "lockup-slip",
  title: "Converter clutch slip at full command",
  unit: "rpm",
  usualSd: () => 5,
  spells: (o) => {
    const slip = slipWhenClosed(o);
    return overMinutes(o, (i) => slip[i]!);
  },
});

function slipWhenClosed(o: Observations): Float64Array {
  const clock = { timeS: o.timeS, dtS: o.dtS };
  const duty = onClock(o.recording, "lockupDuty", clock);
  const slip = onClock(o.recording, "slip", clock);
  const turbine = onClock(o.recording, "turbineRpm", clock);
  let fullS = 0;
  return Float64Array.from({ length: o.n }, (_, i) => {
    fullS = duty[i]! >= FULL_PERCENT ? fullS + o.dtS : 0;
    if (fullS < CLOSED_AFTER_S) return Number.NaN;
    return Math.abs(Number.isNaN(slip[i]!) ? o.rpm[i]! - turbine[i]! : slip[i]!);
  });
}
