import { defineMoment } from "./define.ts";
import { RUNNING_RPM } from "./marks.ts";

export default defineMoment({
  kind: "crank",
  title: "Starter turns the engine",
  how: "engine speed between 20 rpm and 450 rpm, coming from rest",
  needs: ["rpm"],
  shortestS: 0.1,
  bridgeS: 0.3,
  mark({ rpm }) {
    const marks = new Uint8Array(rpm.length);
    // An engine that dies passes through the same speeds downwards: only what follows rest is cranking.
    let fromRest = rpm.length > 0 && rpm[0]! < RUNNING_RPM;
    for (let i = 0; i < rpm.length; i++) {
      const speed = rpm[i]!;
      if (speed <= 20) fromRest = true;
      else if (speed >= RUNNING_RPM) fromRest = false;
      if (fromRest && speed > 20) marks[i] = 1;
    }
    return marks;
  },
});
