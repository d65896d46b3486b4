import { dryPressureKpa } from "../../physics/index.ts";
import { definePowerStandard, validityWithin } from "./define.ts";

/** The standard rounds degrees to kelvin with 273, and so must its factor. */
const density = (air: Parameters<typeof dryPressureKpa>[0]): number => (99 / dryPressureKpa(air)) * Math.sqrt((air.temperatureC + 273) / 298);

/**
 * SAE J1349, spark ignition, 85 % mechanical efficiency assumed: cf = 1.18 (99/p_d) √((t + 273)/298) − 0.18.
 *
 * @source j1349 (from memory); AP-J1349-1 to AP-J1349-9
 */
export const saeJ1349 = definePowerStandard({
  id: "sae-j1349",
  name: "SAE J1349",
  title: "Net power, spark ignition, 85 % mechanical efficiency assumed",
  reference: "25 °C, 99 kPa of dry air",
  limits: "inlet 15 to 35 °C, dry pressure 90 to 105 kPa; a factor beyond 3 % is remarked, beyond 7 % it is outside (texts differ on the size)",
  boosted: "meant for engines without boost control; where the controller holds manifold pressure itself the factor overstates what the weather did",
  sources: ["j1349"],
  factor: (air) => 1.18 * density(air) - 0.18,
  validity: (air) =>
    validityWithin(
      { temperatureC: air.temperatureC, dryKpa: dryPressureKpa(air), factor: 1.18 * density(air) - 0.18 },
      { temperatureC: [15, 35], dryKpa: [90, 105] },
    ),
});

/**
 * Corrected brake power [kW] where friction power was measured: (P_b + P_f) (99/p_d) √((t + 273)/298) − P_f. To be preferred.
 *
 * @source j1349 (from memory); AP-J1349-FRICTION
 */
export function saeJ1349WithFrictionKw(power: { readonly brakeKw: number; readonly frictionKw: number }, air: Parameters<typeof dryPressureKpa>[0]): number {
  return (power.brakeKw + power.frictionKw) * density(air) - power.frictionKw;
}
