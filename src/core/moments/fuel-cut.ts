import { defineMoment } from "./define.ts";
import { isFootOff, markWhere } from "./marks.ts";

export default defineMoment({
  kind: "fuel-cut",
  title: "Fuel cut on overrun",
  how: "no injection above 900 rpm; where pulse width is missing: foot off above 1100 rpm with lambda beyond 1.6",
  needs: ["rpm"],
  shortestS: 0.3,
  bridgeS: 0.3,
  mark(input) {
    const { rpm, injMs, lambda } = input;
    const footOff = isFootOff(input);
    return markWhere(rpm.length, (i) => {
      if (!Number.isNaN(injMs[i]!)) return rpm[i]! > 900 && injMs[i]! < 0.05;
      return rpm[i]! > 1100 && lambda[i]! > 1.6 && footOff(i);
    });
  },
});
