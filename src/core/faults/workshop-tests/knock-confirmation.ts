import { defineTest } from "./define.ts";

export default defineTest({
  id: "knock-confirmation",
  title: "Confirm knock by ear or second sensor and by spark",
  how: "Repeat the moment on a dynamometer with a second knock microphone; take 3 degrees out at those cells, then put known fuel in, and see whether retard goes.",
  minutes: 45,
  cautions: [
    "Knock destroys pistons: lift at once on audible knock or on retard above 3 degrees that repeats.",
    "Dynamometer rules: straps, nobody beside turning wheels, ear protection, exhaust extracted.",
  ],
  outcomes: ["goes with less spark or better fuel", "retard stays (noise)", "no knock"],
  under: { "ignition.knock": { "goes with less spark or better fuel": 0.88, "retard stays (noise)": 0.08, "no knock": 0.04 } },
  otherwise: { "goes with less spark or better fuel": 0.04, "retard stays (noise)": 0.08, "no knock": 0.88 },
  sources: ["common-practice"],
});
