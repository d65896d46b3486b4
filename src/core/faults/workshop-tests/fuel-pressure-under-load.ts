import { defineTest } from "./define.ts";

export default defineTest({
  id: "fuel-pressure-under-load",
  title: "Fuel pressure under load",
  how: "Gauge or sensor on the rail, read at idle and through a sweep at full load; compare with what the rail should hold.",
  minutes: 35,
  cautions: [
    "Relieve pressure before opening a line; gloves, eye protection, no ignition sources, catch what drains.",
    "Full load belongs on a dynamometer or a closed course; end the pull when mixture leans or pressure falls by more than 20 kPa.",
  ],
  outcomes: ["holds", "falls under load", "wrong at all times"],
  under: {
    "fuel.delivery-low": { holds: 0.05, "falls under load": 0.9, "wrong at all times": 0.05 },
    "fuel.injector-flow-mismatch": { holds: 0.72, "falls under load": 0.04, "wrong at all times": 0.24 },
  },
  otherwise: { holds: 0.95, "falls under load": 0.03, "wrong at all times": 0.02 },
  sources: ["common-practice"],
});
