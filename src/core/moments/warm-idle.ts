import { defineMoment } from "./define.ts";
import { isFootOff, markWhere, movingSpread, runningForS, samplesIn } from "./marks.ts";

export default defineMoment({
  kind: "warm-idle",
  title: "Warm idle",
  how: "foot off, vehicle at rest, coolant at least 70 °C where it is known, speed settled below 1300 rpm for 4 s after a start",
  needs: ["rpm"],
  shortestS: 4,
  bridgeS: 0.5,
  mark(input) {
    const { rpm, ectC, vssKmh, idleTargetRpm, dtS } = input;
    const footOff = isFootOff(input);
    const forS = runningForS(input);
    const spreadRpm = movingSpread(rpm, samplesIn(1, dtS));
    return markWhere(rpm.length, (i) => {
      if (!(forS[i]! > 4 && rpm[i]! < 1300 && footOff(i))) return false;
      if (vssKmh[i]! > 3 || ectC[i]! < 70) return false;
      if (Math.abs(rpm[i]! - idleTargetRpm[i]!) > 200) return false;
      return spreadRpm[i]! < 250;
    });
  },
});
