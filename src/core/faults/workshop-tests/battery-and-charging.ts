import { defineTest } from "./define.ts";

export default defineTest({
  id: "battery-and-charging",
  title: "Battery and charging test",
  how: "Battery at rest, under a load tester, while cranking; then charging voltage and ripple at idle and 2000 rpm with lamps and blower on; voltage drop across grounds.",
  minutes: 20,
  cautions: ["Batteries give off hydrogen: no sparks, no smoking, eye protection; never bridge the terminals with a tool.", "Take rings and watch off."],
  outcomes: ["in order", "charging or battery weak"],
  under: { "electrical.low-voltage": { "in order": 0.06, "charging or battery weak": 0.94 } },
  otherwise: { "in order": 0.92, "charging or battery weak": 0.08 },
  sources: ["common-practice"],
});
