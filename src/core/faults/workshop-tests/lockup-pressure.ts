import { defineTest } from "./define.ts";

export default defineTest({
  id: "lockup-pressure",
  title: "Apply pressure of the converter clutch",
  how: "Gauge at the apply port or a scan of commanded pressure, drive at steady load with the clutch commanded fully on; read slip and pressure together.",
  minutes: 60,
  cautions: ["Driving with instruments: a second person reads; closed course or dynamometer for load.", "Hot transmission fluid burns."],
  outcomes: ["no slip", "slips at full pressure", "pressure low"],
  under: { "driveline.lockup-slip": { "no slip": 0.06, "slips at full pressure": 0.6, "pressure low": 0.34 } },
  otherwise: { "no slip": 0.96, "slips at full pressure": 0.02, "pressure low": 0.02 },
  sources: ["common-practice"],
});
