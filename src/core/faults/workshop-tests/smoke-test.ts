import { defineTest } from "./define.ts";

export default defineTest({
  id: "smoke-test",
  title: "Smoke test of the intake",
  how: "Fill the intake between air meter and valves with smoke at low pressure, engine off; watch joints, gaskets, hoses, brake booster and crankcase lines.",
  minutes: 30,
  cautions: [
    "Use the machine's own fluid and pressure: too much pressure opens seals that were tight.",
    "Ventilate: smoke and fuel vapour; no ignition sources near the intake.",
  ],
  outcomes: ["clean", "leak"],
  under: { "air.unmetered-leak": { clean: 0.08, leak: 0.92 } },
  otherwise: { clean: 0.93, leak: 0.07 },
  sources: ["common-practice"],
});
