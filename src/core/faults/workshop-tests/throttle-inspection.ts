import { defineTest } from "./define.ts";

export default defineTest({
  id: "throttle-inspection",
  title: "Look into the throttle bore, clean it, idle again",
  how: "Duct off: look for deposits at the plate's edge, a worn bore or light past the closed plate. Clean with a fluid meant for it, relearn rest position, record a warm idle again.",
  minutes: 30,
  cautions: ["Engine off and key out while hands are near the plate.", "Cleaning fluid burns: ventilate, no ignition sources, let it dry before starting."],
  outcomes: ["clean and tight", "deposits, idle changes after cleaning", "light past the closed plate"],
  under: {
    "air.throttle-restricted": { "clean and tight": 0.05, "deposits, idle changes after cleaning": 0.93, "light past the closed plate": 0.02 },
    "air.throttle-overflow": { "clean and tight": 0.3, "deposits, idle changes after cleaning": 0.08, "light past the closed plate": 0.62 },
  },
  otherwise: { "clean and tight": 0.77, "deposits, idle changes after cleaning": 0.2, "light past the closed plate": 0.03 },
  sources: ["common-practice"],
});
