import { type Calibration, columnsOf, type Table } from "../tables/index.ts";
import { trueMeterFlowGps } from "./air-meter.ts";
import { breathingFraction } from "./breathing.ts";
import { steadyCharge } from "./charge.ts";
import type { Dwell } from "./dwell.ts";
import { warmIdleAirGps } from "./faults.ts";
import { injectorFlowGps } from "./injector.ts";
import { neededVeFraction } from "./needed-ve.ts";
import type { VirtualVehicle } from "./vehicle.ts";

/** One role's truth: axes, cells as received and as they should be; NaN where nothing was seen to say. */
export interface TableTruth {
  readonly x: Float64Array;
  readonly y?: Float64Array;
  readonly asReceived: Float64Array;
  readonly true: Float64Array;
  readonly dwellS: Float64Array;
  /** 1 where the engine can run. */
  readonly reachable?: Float64Array;
}

export interface CorrectionTruth {
  readonly "air.ve"?: TableTruth;
  readonly "air.meter-curve"?: TableTruth;
  readonly "idle.base-airflow"?: TableTruth & { readonly rpm: Float64Array };
  readonly "fuel.injector-flow"?: TableTruth;
  readonly "fuel.injector-dead-time"?: TableTruth;
}

/** The tables that would make this controller right for this vehicle. */
export function correctionTruth(vehicle: VirtualVehicle, calibration: Calibration, dwell: Dwell): CorrectionTruth {
  const t = calibration.byRole;
  return {
    ...(t["air.ve"] === undefined ? {} : { "air.ve": veTruth(vehicle, calibration, t["air.ve"], dwell) }),
    ...(t["air.meter-curve"] === undefined || !vehicle.outfit.meter ? {} : { "air.meter-curve": meterTruth(vehicle, t["air.meter-curve"], dwell) }),
    ...(t["idle.base-airflow"] === undefined ? {} : { "idle.base-airflow": idleTruth(t["idle.base-airflow"], dwell) }),
    ...(t["fuel.injector-flow"] === undefined ? {} : { "fuel.injector-flow": flowTruth(vehicle, t["fuel.injector-flow"]) }),
    ...(t["fuel.injector-dead-time"] === undefined ? {} : { "fuel.injector-dead-time": deadTruth(vehicle, t["fuel.injector-dead-time"]) }),
  };
}

/** What fuel constants ask of the air model: stoichiometric ratio set against the fuel's, times injector scatter. */
export function fuelConstantFactor(vehicle: VirtualVehicle, calibration: Calibration): number {
  const stoich = calibration.byRole["fuel.stoich"]?.cells[0] ?? vehicle.fuel.stoich;
  const banks = vehicle.injection.bankFactors;
  const scatter = (banks[0] + banks[1]) / 2;
  return stoich / vehicle.fuel.stoich / scatter;
}

function veTruth(vehicle: VirtualVehicle, calibration: Calibration, ve: Table, dwell: Dwell): TableTruth {
  const x = ve.x!.values;
  const y = ve.y!.values;
  const blend = calibration.byRole["air.charge-temperature-blend"];
  const factor = fuelConstantFactor(vehicle, calibration);
  const range = reachableRange(vehicle);
  const cells = new Float64Array(ve.cells.length);
  const reachable = new Float64Array(ve.cells.length);
  for (let r = 0; r < y.length; r++)
    for (let c = 0; c < x.length; c++) {
      const at = { rpm: x[c]!, mapKpa: y[r]! };
      const share =
        blend === undefined
          ? breathingFraction(vehicle.engine.breathing, vehicle.ambient.pressureKpa, at.rpm, at.mapKpa)
          : neededVeFraction(vehicle, vehicle.engine.breathing, blend, at, vehicle.ambient);
      cells[r * columnsOf(ve) + c] = 100 * share * factor;
      reachable[r * columnsOf(ve) + c] = range.has(spanOf(x, c), spanOf(y, r)) || dwell.ve[r * columnsOf(ve) + c]! > 0.3 ? 1 : 0;
    }
  return { x, y, asReceived: ve.cells, true: cells, dwellS: dwell.ve, reachable };
}

/** What is nearest to a breakpoint: from half-way to its lower neighbour to half-way to its upper one. */
function spanOf(values: Float64Array, i: number): readonly [number, number] {
  const here = values[i]!;
  const below = i === 0 ? here - (values[1]! - here) : values[i - 1]!;
  const above = i === values.length - 1 ? here + (here - values[i - 1]!) : values[i + 1]!;
  return [(here + below) / 2, (here + above) / 2];
}

/** Where the engine can run: idle to the limit, from a shut throttle dragged along to full load. */
function reachableRange(vehicle: VirtualVehicle): { readonly has: (rpm: readonly [number, number], kpa: readonly [number, number]) => boolean } {
  const { engine, ambient } = vehicle;
  const shutGps = 0.9 * warmIdleAirGps(vehicle);
  const lowestAt = (rpm: number): number => {
    let mapKpa = 8;
    for (; mapKpa < ambient.pressureKpa; mapKpa += 0.5) {
      const veFraction = breathingFraction(engine.breathing, ambient.pressureKpa, rpm, mapKpa);
      const { flowGps } = steadyCharge(engine, { rpm, mapKpa, intakeK: ambient.temperatureC + 283, coolantK: 363, veFraction });
      if (flowGps >= shutGps) break;
    }
    return mapKpa;
  };
  const boostKpa = engine.turbo?.targetGaugeKpa ?? 0;
  return {
    has: (rpm, kpa) => {
      const slowest = Math.max(rpm[0], 0.95 * vehicle.idleRpm);
      const fastest = Math.min(rpm[1], engine.maximumRpm);
      if (slowest > fastest) return false;
      const highest = ambient.pressureKpa + boostKpa * Math.min(1, Math.max(0, (fastest - 1100) / 1500));
      return kpa[1] >= lowestAt(fastest) && kpa[0] <= highest - 1;
    },
  };
}

function meterTruth(vehicle: VirtualVehicle, curve: Table, dwell: Dwell): TableTruth {
  const x = curve.x!.values;
  return { x, asReceived: curve.cells, true: x.map((hz) => trueMeterFlowGps(vehicle.meter, hz)), dwellS: dwell.meter };
}

function idleTruth(base: Table, dwell: Dwell): TableTruth & { rpm: Float64Array } {
  const { secondsS, airG, rpmS } = dwell.idle;
  const per = (sum: Float64Array): Float64Array => sum.map((v, i) => (secondsS[i]! < 0.5 ? Number.NaN : v / secondsS[i]!));
  return { x: base.x?.values ?? Float64Array.of(0), asReceived: base.cells, true: per(airG), dwellS: secondsS, rpm: per(rpmS) };
}

function flowTruth(vehicle: VirtualVehicle, curve: Table): TableTruth {
  const x = curve.x?.values ?? Float64Array.of(0);
  const banks = vehicle.injection.bankFactors;
  const scatter = ((banks[0] + banks[1]) / 2) * vehicle.defects.injectorFlowFactor;
  return {
    x,
    asReceived: curve.cells,
    true: x.map((kpa) => injectorFlowGps(vehicle.injection, vehicle.injection.railKpa, kpa) * scatter),
    dwellS: new Float64Array(curve.cells.length),
  };
}

function deadTruth(vehicle: VirtualVehicle, table: Table): TableTruth {
  const { injection, defects } = vehicle;
  const x = table.x?.values ?? Float64Array.of(14);
  const y = table.y?.values ?? Float64Array.of(0);
  const cells = Float64Array.from(
    [...y].flatMap((kpa) =>
      [...x].map(
        (v) =>
          injection.deadTimeMs * (14 / v) ** injection.deadTimePower +
          injection.deadTimePerKpa * kpa +
          defects.deadShiftMs * (14 / v) ** defects.deadShiftVoltPower,
      ),
    ),
  );
  return { x, ...(table.y === undefined ? {} : { y }), asReceived: table.cells, true: cells, dwellS: new Float64Array(cells.length) };
}

/** Difference of received and true VE in the cells that were visited [%, dwell-weighted RMS]: a plain measure of how wrong a packet came in. */
export function veErrorPercent(truth: TableTruth): number {
  let weight = 0;
  let sum = 0;
  for (let i = 0; i < truth.true.length; i++) {
    const w = truth.dwellS[i]!;
    weight += w;
    sum += w * (100 * (truth.asReceived[i]! / truth.true[i]! - 1)) ** 2;
  }
  return weight === 0 ? Number.NaN : Math.sqrt(sum / weight);
}
