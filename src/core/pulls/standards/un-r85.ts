import { definePowerStandard } from "./define.ts";
import { iso1585Factor, iso1585Validity } from "./iso-1585.ts";

/** UN Regulation 85 (and Directive 80/1269/EEC) reckon as ISO 1585 does. @source un-r85 (from memory); AP-R85-1 to AP-R85-9 */
export const unR85 = definePowerStandard({
  id: "un-r85",
  name: "UN R85",
  title: "Net power for type approval, spark ignition",
  reference: "25 °C, 99 kPa of dry air",
  limits: "inlet 15 to 35 °C, dry pressure 80 to 110 kPa, factor 0.93 to 1.07",
  boosted: "the spark-ignition factor as printed; approval tests hold the ambient within range instead",
  sources: ["un-r85"],
  factor: iso1585Factor,
  validity: iso1585Validity,
});
