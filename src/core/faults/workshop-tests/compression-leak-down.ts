import { defineTest } from "./define.ts";

export default defineTest({
  id: "compression-leak-down",
  title: "Compression or leak-down",
  how: "All cylinders, engine warm, throttle open, fuel and ignition off; leak-down at top dead centre where one is low.",
  minutes: 60,
  cautions: ["Disable fuel and ignition; stand clear of the belt side while cranking.", "Warm engines burn: plugs and manifolds are hot."],
  outcomes: ["even", "a cylinder low"],
  under: {},
  otherwise: { even: 0.94, "a cylinder low": 0.06 },
  sources: ["common-practice"],
});
