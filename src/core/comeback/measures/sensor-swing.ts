import { median } from "../../../base/index.ts";
import type { Observations } from "../../residuals/index.ts";
import { defineMeasure } from "./define.ts";

/** Rich and lean of a switching sensor, with room between for noise. @source common-practice */
const RICH_V = 0.58;
const LEAN_V = 0.32;
const LEAST_TURNS = 6;

export default defineMeasure({
  id: "sensor-swing",
  title: "Oxygen sensor, half a swing",
  unit: "s",
  // The rhythm follows exhaust flow, so another drive has another.
  usualSd: (seconds) => 0.2 * seconds,
  spells: (o) => [o.recording.channels.o2v1?.values, o.recording.channels.o2v2?.values].flatMap((volts) => (volts === undefined ? [] : halfSwing(o, volts))),
});

/** Middle time between turns in closed loop [s], by the sensor's own samples. */
function halfSwing(o: Observations, volts: Float64Array): readonly number[] {
  const halves: number[] = [];
  let side = 0;
  let sinceS = Number.NaN;
  for (const [k, v] of volts.entries()) {
    const timeS = o.recording.timeS[k]!;
    const i = Math.round((timeS - o.timeS[0]!) / o.dtS);
    if (!(o.closedLoop[i]! >= 0.5) || o.ectC[i]! < 60) {
      side = 0;
      continue;
    }
    const now = v >= RICH_V ? 1 : v <= LEAN_V ? -1 : 0;
    if (now === 0 || now === side) continue;
    if (side !== 0) halves.push(timeS - sinceS);
    side = now;
    sinceS = timeS;
  }
  return halves.length < LEAST_TURNS ? [] : [median(halves)];
}
