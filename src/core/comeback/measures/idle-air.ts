import { defineMeasure } from "./define.ts";
import { overMoments } from "./spells.ts";

export default defineMeasure({
  id: "idle-air",
  title: "Air at warm idle",
  unit: "g/s",
  // Gear engaged, lamps and air conditioning load the engine by turns.
  usualSd: (airflowGps) => 0.06 * airflowGps,
  spells: (o) => overMoments(o, "warm-idle", (i) => (o.meterGps[i]! > 0 ? o.meterGps[i]! : o.speedDensityGps[i]!)),
});
