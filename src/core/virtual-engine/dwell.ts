import type { Calibration, Table } from "../tables/index.ts";
import { type Run, STEP_S } from "./run.ts";
import type { State } from "./state.ts";

/** Seconds that the running engine spent at each cell (the nearest one) of its controller's tables, and what it drew at settled idle. */
export interface Dwell {
  readonly ve: Float64Array;
  readonly meter: Float64Array;
  readonly idle: { readonly secondsS: Float64Array; readonly airG: Float64Array; readonly rpmS: Float64Array };
  readonly tables: { readonly ve: Table | undefined; readonly meter: Table | undefined; readonly idle: Table | undefined };
}

export function emptyDwell(calibration: Calibration): Dwell {
  const tables = { ve: calibration.byRole["air.ve"], meter: calibration.byRole["air.meter-curve"], idle: calibration.byRole["idle.base-airflow"] };
  const zeros = (t: Table | undefined): Float64Array => new Float64Array(t?.cells.length ?? 0);
  return {
    ve: zeros(tables.ve),
    meter: zeros(tables.meter),
    idle: { secondsS: zeros(tables.idle), airG: zeros(tables.idle), rpmS: zeros(tables.idle) },
    tables,
  };
}

export function dwellOf(dwell: Dwell, run: Run, s: State): void {
  if (s.runS < 1 || s.rpm < 300) return;
  const { ve, meter, idle } = dwell.tables;
  if (ve?.x !== undefined && ve.y !== undefined) {
    const cell = nearest(ve.y.values, s.mapKpa) * ve.x.values.length + nearest(ve.x.values, s.rpm);
    dwell.ve[cell] = dwell.ve[cell]! + STEP_S;
  }
  if (meter?.x !== undefined && run.vehicle.outfit.meter) {
    const cell = nearest(meter.x.values, s.meterHz);
    dwell.meter[cell] = dwell.meter[cell]! + STEP_S;
  }
  const settled = s.pedal < 1 && s.speedMs < 0.5 && Math.abs(s.rpm - s.idleTarget) < 60 && s.runS > 12;
  if (idle?.x === undefined || !settled) return;
  const cell = nearest(idle.x.values, s.coolantC);
  dwell.idle.secondsS[cell] = dwell.idle.secondsS[cell]! + STEP_S;
  dwell.idle.airG[cell] = dwell.idle.airG[cell]! + STEP_S * (s.throttleGps + s.leakGps);
  dwell.idle.rpmS[cell] = dwell.idle.rpmS[cell]! + STEP_S * s.rpm;
}

function nearest(values: Float64Array, at: number): number {
  let i = 0;
  while (i < values.length - 1 && at > (values[i]! + values[i + 1]!) / 2) i++;
  return i;
}

/** Seconds and air of several recordings together. */
export function addDwell(a: Dwell, b: Dwell): Dwell {
  const sum = (x: Float64Array, y: Float64Array): Float64Array => x.map((v, i) => v + y[i]!);
  return {
    ve: sum(a.ve, b.ve),
    meter: sum(a.meter, b.meter),
    idle: { secondsS: sum(a.idle.secondsS, b.idle.secondsS), airG: sum(a.idle.airG, b.idle.airG), rpmS: sum(a.idle.rpmS, b.idle.rpmS) },
    tables: a.tables,
  };
}
