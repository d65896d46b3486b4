import { defineMoment } from "./define.ts";
import { isFootOff, markWhere, movingSpread, RUNNING_RPM, samplesIn } from "./marks.ts";

export default defineMoment({
  kind: "cruise",
  title: "Steady driving",
  how: "vehicle above 25 km/h (engine above 1300 rpm where vehicle speed is missing), foot on, throttle within 4 % and engine speed within 8 % over 2 s",
  needs: ["rpm"],
  shortestS: 3,
  bridgeS: 0.5,
  mark(input) {
    const { rpm, vssKmh, throttlePercent, injMs, dtS } = input;
    const footOff = isFootOff(input);
    const half = samplesIn(1, dtS);
    const spreadThrottle = movingSpread(throttlePercent, half);
    const spreadRpm = movingSpread(rpm, half);
    return markWhere(rpm.length, (i) => {
      const moving = Number.isNaN(vssKmh[i]!) ? rpm[i]! > 1300 : vssKmh[i]! > 25;
      if (!moving || !(rpm[i]! >= RUNNING_RPM) || footOff(i)) return false;
      if (injMs[i]! < 0.05 || throttlePercent[i]! > 75) return false;
      return spreadThrottle[i]! < 4 && spreadRpm[i]! < 0.08 * rpm[i]!;
    });
  },
});
