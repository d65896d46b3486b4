import { type AmbientAir, dryPressureKpa } from "../../physics/index.ts";
import { definePowerStandard, validityWithin } from "./define.ts";

/** α = (99/p_d)^1.2 ((t + 273)/298)^0.6. @source iso-1585 (from memory); AP-ISO1585-1 to AP-ISO1585-9 */
export function iso1585Factor(air: AmbientAir): number {
  return (99 / dryPressureKpa(air)) ** 1.2 * ((air.temperatureC + 273) / 298) ** 0.6;
}

/** Ranges shared by the family of ISO 1585. @source iso-1585 (from memory) */
export function iso1585Validity(air: AmbientAir): ReturnType<typeof validityWithin> {
  return validityWithin(
    { temperatureC: air.temperatureC, dryKpa: dryPressureKpa(air), factor: iso1585Factor(air) },
    { temperatureC: [15, 35], dryKpa: [80, 110] },
  );
}

export const iso1585 = definePowerStandard({
  id: "iso-1585",
  name: "ISO 1585",
  title: "Net power of road vehicles, spark ignition",
  reference: "25 °C, 99 kPa of dry air",
  limits: "inlet 15 to 35 °C, dry pressure 80 to 110 kPa, factor 0.93 to 1.07; beyond it the test conditions have to be stated",
  boosted:
    "the same factor for spark ignition with and without boost; with a system that holds boost against the weather quote the uncorrected figure beside it",
  sources: ["iso-1585"],
  factor: iso1585Factor,
  validity: iso1585Validity,
});
