import { defineTest } from "./define.ts";

export default defineTest({
  id: "exhaust-leak-check",
  title: "Exhaust leak check with the engine cold",
  how: "Cold start with the hood open: listen and feel with a gloved hand at manifolds, gaskets, flanges and welds ahead of the sensors; or smoke in at the tailpipe. Soot marks tell old leaks.",
  minutes: 20,
  cautions: [
    "Exhaust gas is poisonous: extract it, ventilate; headache or dizziness, everybody out.",
    "Only while the exhaust is cold: a running engine heats it within a minute. Keep hands and cables off belts and fan.",
  ],
  outcomes: ["tight", "leak ahead of sensor"],
  under: { "exhaust.leak-ahead-of-sensor": { tight: 0.1, "leak ahead of sensor": 0.9 } },
  otherwise: { tight: 0.95, "leak ahead of sensor": 0.05 },
  sources: ["common-practice"],
});
