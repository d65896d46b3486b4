import { defineTest } from "./define.ts";

export default defineTest({
  id: "sensor-response",
  title: "Response of the oxygen sensor",
  how: "Warm engine at 2000 rpm: enrich with propane or by command, then let air in; time the sensor's way from rich to lean and back; compare banks.",
  minutes: 20,
  cautions: ["Propane burns: small hose, no ignition sources, extinguisher in reach.", "Extract exhaust gas; hot exhaust burns."],
  outcomes: ["quick", "slow"],
  under: { "sensor.oxygen-slow": { quick: 0.1, slow: 0.9 }, "exhaust.leak-ahead-of-sensor": { quick: 0.85, slow: 0.15 } },
  otherwise: { quick: 0.95, slow: 0.05 },
  sources: ["common-practice"],
});
