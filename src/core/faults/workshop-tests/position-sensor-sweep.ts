import { defineTest } from "./define.ts";

export default defineTest({
  id: "position-sensor-sweep",
  title: "Sweep of the throttle position sensors",
  how: "Ignition on, engine off: move pedal or plate slowly through its travel and record both position signals; look for slack, steps and a sum that wanders.",
  minutes: 15,
  cautions: ["Engine off, and keep fingers out of the throttle bore: an electric plate can close with force."],
  outcomes: ["signals agree", "slack or disagreement"],
  under: {
    "air.throttle-overflow": { "signals agree": 0.5, "slack or disagreement": 0.5 },
    "air.throttle-restricted": { "signals agree": 0.93, "slack or disagreement": 0.07 },
  },
  otherwise: { "signals agree": 0.96, "slack or disagreement": 0.04 },
  sources: ["common-practice"],
});
