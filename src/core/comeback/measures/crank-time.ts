import type { Observations } from "../../residuals/index.ts";
import { defineMeasure } from "./define.ts";

const TURNS_RPM = 30;
const RUNS_RPM = 450;

export default defineMeasure({
  id: "crank-time",
  title: "Cranking until it runs",
  unit: "s",
  usualSd: (seconds) => 0.15 + 0.25 * seconds,
  spells: cranks,
});

/** Times from the first turn of the starter to running [s]; only starts that begin at rest. */
function cranks(o: Observations): readonly number[] {
  const times: number[] = [];
  let from = -1;
  let isAtRest = false;
  for (let i = 0; i < o.n; i++) {
    const rpm = o.rpm[i]!;
    if (Number.isNaN(rpm)) continue;
    if (rpm <= TURNS_RPM) {
      isAtRest = true;
      from = -1;
    } else if (isAtRest && from < 0 && rpm < RUNS_RPM) from = i;
    else if (rpm >= RUNS_RPM) {
      if (from >= 0) times.push((i - from) * o.dtS);
      isAtRest = false;
      from = -1;
    }
  }
  return times;
}
