import { definePowerStandard } from "./define.ts";

/** As measured: factor 1. @source definition */
export const uncorrected = definePowerStandard({
  id: "none",
  name: "none (as measured)",
  title: "Power as measured on the day",
  reference: "the ambient of the day",
  limits: "none",
  boosted: "as measured",
  sources: ["definition"],
  factor: () => 1,
  validity: () => "yes",
});
