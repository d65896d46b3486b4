import { defineTest } from "./define.ts";

export default defineTest({
  id: "meter-swap",
  title: "Swap in an air meter known to be good",
  how: "Fit a meter of the same part number that reads right elsewhere, same duct and filter; record idle and a steady drive again.",
  minutes: 20,
  cautions: ["Match the part number: another element in the same housing has another curve."],
  outcomes: ["no change", "residual goes away"],
  under: { "air.meter-low": { "no change": 0.07, "residual goes away": 0.93 }, "air.meter-high": { "no change": 0.07, "residual goes away": 0.93 } },
  otherwise: { "no change": 0.96, "residual goes away": 0.04 },
  sources: ["common-practice"],
});
