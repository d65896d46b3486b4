import type { ComputedSignal } from "../api/index.ts";
import type { Observations } from "../core/residuals/index.ts";

/** A series that is worked out from a recording, on the clock of its observations. */
export interface ComputedSeries {
  readonly id: ComputedSignal;
  readonly name: string;
  readonly unit: string;
  of(seen: Observations): Float64Array;
}

const percent = (values: Float64Array): Float64Array => values.map((value) => 100 * Math.expm1(value));

export const COMPUTED: readonly ComputedSeries[] = [
  { id: "fuelResidual", name: "Fuel residual", unit: "%", of: (seen) => percent(seen.fuelResidual) },
  { id: "modelResidual", name: "Meter over speed-density air", unit: "%", of: (seen) => percent(seen.modelResidual) },
  { id: "idleResidual", name: "Idle air beyond the command", unit: "g/s", of: (seen) => seen.idleResidualGps },
  { id: "controllerAir", name: "Airflow the controller used", unit: "g/s", of: (seen) => seen.controllerGps },
  {
    id: "observedVe",
    name: "Volumetric efficiency observed",
    unit: "%",
    of: (seen) => seen.tableVeFraction.map((table, i) => 100 * table * (seen.meterGps[i]! / seen.speedDensityGps[i]!)),
  },
  { id: "steadiness", name: "Weight of the sample", unit: "%", of: (seen) => seen.steadiness.map((weight) => 100 * weight) },
];
