import { defineTest } from "./define.ts";

export default defineTest({
  id: "injector-flow-bench",
  title: "Injectors on a flow bench",
  how: "Static flow at the rail's pressure and delivery at short pulses and two voltages, all injectors; put the measured figures into the tables.",
  minutes: 120,
  cautions: [
    "Fuel or test fluid under pressure: gloves, eye protection, ventilation, no ignition sources.",
    "Relieve rail pressure before taking injectors out.",
  ],
  outcomes: ["as the tables say", "flow differs", "dead time differs"],
  under: {
    "fuel.injector-flow-mismatch": { "as the tables say": 0.04, "flow differs": 0.92, "dead time differs": 0.04 },
    "fuel.injector-dead-time-mismatch": { "as the tables say": 0.06, "flow differs": 0.06, "dead time differs": 0.88 },
  },
  otherwise: { "as the tables say": 0.93, "flow differs": 0.04, "dead time differs": 0.03 },
  sources: ["common-practice"],
});
