import { defineMeasure } from "./define.ts";
import { overMinutes } from "./spells.ts";

/** An engine has reached its temperature after ten minutes of running, or tells nothing about where that lies. Common practice, no published source. */
const WARMED_AFTER_S = 600;

export default defineMeasure({
  id: "coolant",
  title: "Coolant once warmed up",
  unit: "°C",
  usualSd: () => 3,
  spells: (o) => overMinutes(o, (i) => (o.timeS[i]! - o.timeS[0]! > WARMED_AFTER_S && o.rpm[i]! > 400 ? o.ectC[i]! : Number.NaN)),
});
