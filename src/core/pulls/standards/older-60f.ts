import { dryPressureKpa } from "../../physics/index.ts";
import { definePowerStandard } from "./define.ts";

/** One inch of mercury [kPa], conventional. @source scipy-constants */
const KPA_PER_INHG = 3.386389;

/**
 * The older practice of 60 °F and 29.92 inHg of dry air: (29.92/(B − e)) √((t_F + 460)/520), after the withdrawn SAE J607. It
 * gives 1 to 5 % more than SAE J1349 in ordinary weather.
 *
 * @source j607 (from memory); AP-J607-1 to AP-J607-9
 */
export const older60F = definePowerStandard({
  id: "older-60f",
  name: "60 °F / 29.92 inHg (older practice, J607 type)",
  title: "Older practice of 60 °F and 29.92 inHg dry; the most generous figure",
  reference: "15.6 °C (60 °F), 101.32 kPa (29.92 inHg) of dry air",
  limits: "no limits known here; the standard behind it was withdrawn",
  boosted: "no rule of its own known here",
  sources: ["j607"],
  factor: (air) => (29.92 / (dryPressureKpa(air) / KPA_PER_INHG)) * Math.sqrt((air.temperatureC * 1.8 + 32 + 460) / 520),
  validity: () => "no limits known",
});
