import { defineTest } from "./define.ts";

export default defineTest({
  id: "cam-crank-scope",
  title: "Scope on cam and crank signals",
  how: "Two channels, crank through ten starts cold and hot; look for missing or small cam pulses, move the harness while watching.",
  minutes: 30,
  cautions: [
    "Probe at the connector's back, do not pierce insulation; keep leads away from belts and starter.",
    "Ignition carries tens of kilovolts: hands off coils and leads while cranking.",
  ],
  outcomes: ["steady", "cam pulses missing"],
  under: { "start.cam-signal-dropout": { steady: 0.12, "cam pulses missing": 0.88 } },
  otherwise: { steady: 0.98, "cam pulses missing": 0.02 },
  sources: ["common-practice"],
});
