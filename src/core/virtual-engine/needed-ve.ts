import { lookUpCurve, type Table } from "../tables/index.ts";
import { type BreathingSpec, breathingFraction } from "./breathing.ts";
import { steadyCharge } from "./charge.ts";
import { dryShare } from "./gas.ts";
import type { Ambient, VirtualVehicle } from "./vehicle.ts";

/**
 * Volumetric efficiency [fraction] that a speed-density controller needs in its table, so that commanded lambda is delivered, coolant
 * 91 °C: the true filling, seen through the controller's own charge temperature, humidity of the air included.
 */
export function neededVeFraction(
  vehicle: VirtualVehicle,
  breathing: BreathingSpec,
  blend: Table,
  at: { readonly rpm: number; readonly mapKpa: number },
  ambient: Ambient,
): number {
  const veFraction = breathingFraction(breathing, ambient.pressureKpa, at.rpm, at.mapKpa);
  const intakeK = ambient.temperatureC + 273.15;
  const coolantK = 91 + 273.15;
  const { flowGps, chargeK } = steadyCharge(vehicle.engine, { ...at, intakeK, coolantK, veFraction });
  const assumedK = intakeK + lookUpCurve(blend, flowGps) * (coolantK - intakeK);
  return (veFraction * assumedK * dryShare(ambient)) / chargeK;
}
