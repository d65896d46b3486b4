import { defineMeasure } from "./define.ts";
import { overMinutes } from "./spells.ts";

export default defineMeasure({
  id: "supply-voltage",
  title: "Supply voltage while running",
  unit: "V",
  usualSd: () => 0.15,
  spells: (o) => overMinutes(o, (i) => (o.rpm[i]! > 500 && o.timeS[i]! - o.timeS[0]! > 20 ? o.batteryV[i]! : Number.NaN)),
});
