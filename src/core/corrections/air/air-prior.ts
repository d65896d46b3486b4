import {
  addBlock,
  addIndependentPrior,
  addToSkyline,
  emptySkyline,
  type FieldPrecision,
  type FieldScale,
  fieldOnGrid,
  type Skyline,
  skylineTimes,
} from "../../statistics/index.ts";
import { columnsOf, rowsOf, type Table } from "../../tables/index.ts";

/** Strengths that the data choose by maximum evidence. Ranges are shares of the whole axis (engine speed by its logarithm). */
export interface FieldStrengths {
  readonly veSd: number;
  readonly veRangeX: number;
  readonly veRangeY: number;
  readonly meterSd: number;
  readonly meterRange: number;
}

/** How far the corrections may go before anything is seen. */
export interface PriorSpread {
  /** Deviation of the level and the slopes of each correction (ln). */
  readonly veTrendSd: number;
  readonly meterTrendSd: number;
  /** Upper bounds of the local corrections' deviations. */
  readonly veSdLimit: number;
  readonly meterSdLimit: number;
}

/** A correction's shape before anything is seen: a few broad columns over the cells, and a smooth field around them. */
interface FieldWithTrend {
  readonly field: (scale: FieldScale) => FieldPrecision;
  readonly trend: readonly Float64Array[];
}

/** Engine speed acts by its logarithm (what breathing has time for goes with 1/speed), pressure as it is; both run from 0 to 1. */
export function veAxes(table: Table): { readonly x: Float64Array; readonly y: Float64Array } {
  return { x: unitAxis(table.x!.values.map((speed) => Math.log(Math.max(speed, 200)))), y: unitAxis(table.y!.values) };
}

function veShape(table: Table): FieldWithTrend {
  const { x, y } = veAxes(table);
  return { field: fieldOnGrid(x, y), trend: veTrend(table, x, y) };
}

const SLOWEST_RPM = 500;
const LEAST_KPA = 15;
const TYPICAL_RPM = 1200;
const TYPICAL_KPA = 60;

/**
 * What another camshaft, head or manifold does to breathing, in broad strokes: a level; slopes over the logarithm of speed and over pressure; and what flows back
 * through the open valves, which has time for it in proportion to 1/speed and is driven by the manifold's vacuum. They carry a correction from where
 * the engine ran to where it did not.
 * @source common-practice
 */
function veTrend(table: Table, x: Float64Array, y: Float64Array): readonly Float64Array[] {
  const columns = columnsOf(table);
  const top = table.x!.values[columns - 1]!;
  const over = (shape: (at: { rpm: number; u: number; w: number; time: number; kpa: number }) => number): Float64Array =>
    Float64Array.from({ length: columns * rowsOf(table) }, (_, k) => {
      const [column, row] = [k % columns, Math.floor(k / columns)];
      const time = TYPICAL_RPM / Math.max(table.x!.values[column]!, SLOWEST_RPM);
      return shape({ rpm: table.x!.values[column]!, u: 2 * x[column]! - 1, w: 2 * y[row]! - 1, time, kpa: Math.max(table.y!.values[row]!, LEAST_KPA) });
    });
  return [
    over(() => 1),
    over(({ u }) => u),
    over(({ w }) => w),
    over(({ time }) => time - 0.5),
    over(({ rpm }) => (rpm / top) ** 3),
    over(({ time, kpa }) => (time * TYPICAL_KPA) / kpa - 0.6),
    over(({ time, kpa }) => (time * (kpa - TYPICAL_KPA)) / 40),
  ];
}

/**
 * How free each column of VE's trend is, as shares of the level's freedom: what has a mechanism carries a camshaft's change by itself, plain slopes
 * only add to it.
 */
const VE_TREND_SHARES = [1, 0.5, 0.5, 0.8, 1.3, 1.2, 0.5] as const;
const METER_TREND_SHARES = [1, 0.7] as const;
const VE_TREND = VE_TREND_SHARES.length;
const METER_TREND = METER_TREND_SHARES.length;

/** A curve over the meter's frequency: level and slope, and a smooth field around them. */
function meterShape(table: Table): FieldWithTrend {
  const x = unitAxis(table.x!.values);
  return { field: fieldOnGrid(x), trend: [x.map(() => 1), x.map((u) => 2 * u - 1)] };
}

function unitAxis(values: Float64Array): Float64Array {
  const low = values[0]!;
  const span = values[values.length - 1]! - low;
  return values.map((v, i) => (span > 0 ? (v - low) / span : i));
}

/** Where each kind of unknown begins, and the profile of their matrix. */
export interface Layout {
  readonly ve: number;
  readonly meter: number;
  readonly veTrend: number;
  readonly meterTrend: number;
  readonly nuisances: number;
  readonly size: number;
  readonly first: Int32Array;
}

/** What is fitted together: the tables, how far they may go, and the spreads of what is no table's business. */
export interface AirTables {
  readonly ve: Table | undefined;
  readonly meter: Table | undefined;
  readonly spread: PriorSpread;
  readonly nuisanceSds: readonly number[];
}

/** Order of the unknowns: VE cells, meter cells, VE trend, meter trend, nuisances. */
export function layoutOf({ ve, meter, nuisanceSds }: AirTables): Layout {
  const veCells = ve?.cells.length ?? 0;
  const meterCells = meter?.cells.length ?? 0;
  const veTrend = veCells + meterCells;
  const meterTrend = veTrend + (veCells > 0 ? VE_TREND : 0);
  const nuisances = meterTrend + (meterCells > 0 ? METER_TREND : 0);
  const size = nuisances + nuisanceSds.length;
  const band = ve === undefined ? 0 : 3 * columnsOf(ve) + 3;
  const first = Int32Array.from({ length: size }, (_, i) => (i < veCells ? Math.max(0, i - band) : 0));
  return { ve: 0, meter: veCells, veTrend, meterTrend, nuisances, size, first };
}

/** Prior precision of all unknowns at given strengths, and its ln det. */
export type Prior = (strengths: FieldStrengths) => { matrix: Skyline; logDet: number };

/** Fields for the cells around a trend that has a prior of its own; nuisances stand by themselves. */
export function priorOf(tables: AirTables, layout: Layout): Prior {
  const ve = tables.ve === undefined ? undefined : veShape(tables.ve);
  const meter = tables.meter === undefined ? undefined : meterShape(tables.meter);
  const { spread, nuisanceSds } = tables;
  return (strengths) => {
    const matrix = emptySkyline(layout.first);
    let logDet = 0;
    if (ve !== undefined) {
      const field = ve.field({ sd: Math.min(strengths.veSd, spread.veSdLimit), rangeX: strengths.veRangeX, rangeY: strengths.veRangeY });
      logDet += addFieldAroundTrend(matrix, field, ve.trend, layout.ve, layout.veTrend);
      logDet += addIndependentPrior(
        matrix,
        VE_TREND_SHARES.map((share) => share * spread.veTrendSd),
        layout.veTrend,
      );
    }
    if (meter !== undefined) {
      const field = meter.field({ sd: Math.min(strengths.meterSd, spread.meterSdLimit), rangeX: strengths.meterRange });
      logDet += addFieldAroundTrend(matrix, field, meter.trend, layout.meter, layout.meterTrend);
      logDet += addIndependentPrior(
        matrix,
        METER_TREND_SHARES.map((share) => share * spread.meterTrendSd),
        layout.meterTrend,
      );
    }
    logDet += addIndependentPrior(matrix, nuisanceSds, layout.nuisances);
    return { matrix, logDet };
  };
}

/** Adds (θ − B·β)ᵀ Q (θ − B·β) for cells θ at one offset and a trend β at another. Returns ln det Q. */
function addFieldAroundTrend(matrix: Skyline, field: FieldPrecision, trend: readonly Float64Array[], cells: number, at: number): number {
  addBlock(matrix, field.matrix, cells);
  const pulled = trend.map((column) => skylineTimes(field.matrix, column));
  for (let t = 0; t < trend.length; t++) {
    for (let k = 0; k < field.matrix.n; k++) addToSkyline(matrix, at + t, cells + k, -pulled[t]![k]!);
    for (let u = 0; u <= t; u++) {
      let sum = 0;
      for (let k = 0; k < field.matrix.n; k++) sum += trend[u]![k]! * pulled[t]![k]!;
      addToSkyline(matrix, at + t, at + u, sum);
    }
  }
  return field.logDet;
}
