import { defineMeasure } from "./define.ts";
import { overMoments } from "./spells.ts";

export default defineMeasure({
  id: "idle-air-commanded",
  title: "Idle air commanded",
  unit: "g/s",
  usualSd: (airflowGps) => 0.06 * airflowGps,
  spells: (o) => overMoments(o, "warm-idle", (i) => o.idleAirTargetGps[i]!),
});
