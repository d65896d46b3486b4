import { defineMoment } from "./define.ts";
import { markWhere } from "./marks.ts";

export default defineMoment({
  kind: "full-load",
  title: "Full load",
  how: "engine above 1200 rpm with the throttle beyond 80 %, or beyond 60 % with manifold pressure within 8 % of ambient or above it",
  needs: ["rpm", "tp1"],
  shortestS: 0.8,
  bridgeS: 0.3,
  mark: ({ rpm, throttlePercent, mapKpa, baroKpa }) =>
    markWhere(rpm.length, (i) => {
      if (!(rpm[i]! > 1200)) return false;
      if (throttlePercent[i]! > 80) return true;
      return throttlePercent[i]! > 60 && mapKpa[i]! > 0.92 * baroKpa[i]!;
    }),
});
