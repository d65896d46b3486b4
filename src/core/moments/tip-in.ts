import { defineMoment } from "./define.ts";
import { markWhere, RUNNING_RPM, samplesIn, widened } from "./marks.ts";

export default defineMoment({
  kind: "tip-in",
  title: "Throttle opened quickly",
  how: "throttle opens by at least 8 % within 0.4 s, with half a second before and two after",
  needs: ["rpm", "tp1"],
  shortestS: 0.3,
  bridgeS: 0.3,
  mark({ rpm, throttlePercent, dtS }) {
    const step = samplesIn(0.4, dtS);
    const opening = markWhere(rpm.length, (i) => i >= step && rpm[i]! >= RUNNING_RPM && throttlePercent[i]! - throttlePercent[i - step]! >= 8);
    return widened(opening, step + samplesIn(0.5, dtS), samplesIn(2, dtS));
  },
});
