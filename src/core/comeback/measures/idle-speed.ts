import { defineMeasure } from "./define.ts";
import { overMoments } from "./spells.ts";

export default defineMeasure({
  id: "idle-speed",
  title: "Warm idle speed beyond its target",
  unit: "rpm",
  usualSd: () => 15,
  spells: (o) => overMoments(o, "warm-idle", (i) => o.rpm[i]! - o.idleTargetRpm[i]!),
});
