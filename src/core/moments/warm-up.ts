import { defineMoment } from "./define.ts";
import { markWhere, RUNNING_RPM } from "./marks.ts";

export default defineMoment({
  kind: "warm-up",
  title: "Engine warms up",
  how: "engine runs and its coolant is below 75 °C",
  needs: ["rpm", "ect"],
  shortestS: 15,
  bridgeS: 5,
  mark: ({ rpm, ectC }) => markWhere(rpm.length, (i) => rpm[i]! >= RUNNING_RPM && ectC[i]! < 75),
});
