import { definePowerStandard } from "./define.ts";
import { iso1585Factor, iso1585Validity } from "./iso-1585.ts";

/** JIS D 1001:1993 corresponds to ISO 1585 by its own scope; formula taken as equal. @source jis-d-1001 (from memory); AP-JISD1001-1 to AP-JISD1001-9 */
export const jisD1001 = definePowerStandard({
  id: "jis-d-1001",
  name: "JIS D 1001",
  title: "Net power of road vehicles, spark ignition; formula taken as that of ISO 1585",
  reference: "25 °C, 99 kPa of dry air",
  limits: "inlet 15 to 35 °C, dry pressure 80 to 110 kPa, factor 0.93 to 1.07",
  boosted: "as ISO 1585",
  sources: ["jis-d-1001"],
  factor: iso1585Factor,
  validity: iso1585Validity,
});
