import { defineMoment } from "./define.ts";
import { markWhere, samplesIn, widened } from "./marks.ts";

export default defineMoment({
  kind: "shift",
  title: "Gear change",
  how: "the gear changes while the vehicle moves, with 0.3 s before and 1 s after; where gear is missing: engine speed over vehicle speed moves by more than 15 % within 0.8 s",
  needs: ["rpm"],
  shortestS: 0.3,
  bridgeS: 0.2,
  mark({ rpm, gear, vssKmh, dtS }) {
    const step = samplesIn(0.8, dtS);
    const changes = markWhere(rpm.length, (i) => {
      if (i === 0) return false;
      if (!Number.isNaN(gear[i]!)) return gear[i]! > 0 && gear[i - 1]! > 0 && gear[i] !== gear[i - 1];
      if (i < step || !(vssKmh[i]! > 15) || !(vssKmh[i - step]! > 15)) return false;
      const ratio = (rpm[i]! / vssKmh[i]!) * (vssKmh[i - step]! / rpm[i - step]!);
      return ratio > 1.15 || ratio < 0.87;
    });
    return widened(changes, samplesIn(0.3, dtS), samplesIn(1, dtS));
  },
});
