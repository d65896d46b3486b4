import type { Intake } from "../../src/core/result/index.ts";
import type { FactoryVehicle } from "../edits/factory.ts";

/** The intake sheet that states a drawn vehicle as it is. */
export function intakeOf(v: FactoryVehicle): Intake {
  return {
    vehicle: { axleRatio: v.axleRatio, tireRevsPerKm: v.tireRevsPerKm, transmission: `${v.gears}-speed automatic` },
    engine: { displacementL: v.displacementL, cylinders: v.cylinders, boosted: v.boosted, camChanged: false },
    fuel: { ethanolPercentVolume: v.ethanolPercent, railPressureKpa: v.railKpa, railReference: v.railReference },
    injectors: { label: "original" },
  };
}
