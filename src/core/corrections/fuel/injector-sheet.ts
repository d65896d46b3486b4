import { median } from "../../../base/index.ts";
import { injectorFlowGps, injectorPressureKpa, type RailReference } from "../../physics/index.ts";
import type { Intake } from "../../result/index.ts";
import { lookUp, type Table } from "../../tables/index.ts";

/** An injector by its data sheet; the shop keeps the list. */
export interface InjectorSheet {
  readonly label: string;
  /** Static mass flow [g/s] at a pressure across the injector [kPa]. */
  readonly ratedFlowGps: number;
  readonly ratedKpa: number;
  readonly deadTime?: readonly { readonly batteryV: number; readonly ms: number }[];
}

/** Fuel rail: pressure above ambient (`atmosphere`) or above manifold (`manifold`). */
export interface Rail {
  readonly gaugeKpa: number;
  readonly reference: RailReference;
}

/** A sheet against the tables in the controller; the likeliest stands first. */
export interface InjectorMatch {
  readonly sheet: InjectorSheet;
  /** Table's flow over the sheet's on this rail, less one [%]. */
  readonly flowPercent: number;
  /** Spread of that ratio along the table [%]: large when the shape is another rail's. */
  readonly shapePercent: number;
  /** Median difference of dead time [ms]; absent when either side has none. */
  readonly deadTimeMs?: number;
  /** Distance in deviations of what data sheets and tables usually differ by; below about 2 they may be the same part. */
  readonly distance: number;
}

/** Pressure at which flows are compared when nothing else is said [kPa]. Common practice, no published source. */
export const USUAL_RATED_KPA = 300;
/** Data sheets, fluids and tables of one part differ by about this. Common practice, no published source. */
const FLOW_SD_PERCENT = 3;
const SHAPE_SD_PERCENT = 1.5;
const DEAD_TIME_SD_MS = 0.08;

/** Rail by the intake sheet; undefined when it does not say both pressure and reference. */
export function railOf(intake: Intake): Rail | undefined {
  const { railPressureKpa, railReference } = intake.fuel ?? {};
  return railPressureKpa !== undefined && railPressureKpa > 0 && railReference !== undefined
    ? { gaugeKpa: railPressureKpa, reference: railReference }
    : undefined;
}

/**
 * Flow table from a data sheet [g/s], shape (n) over manifold vacuum [kPa]: rated flow times √(Δp / rated Δp).
 *
 * @source heywood-1988 (from memory); PH-04a to PH-04e
 */
export function flowFromSheetGps(sheet: Pick<InjectorSheet, "ratedFlowGps" | "ratedKpa">, rail: Rail, vacuumKpa: Float64Array): Float64Array {
  return vacuumKpa.map((vacuum) =>
    injectorFlowGps(sheet.ratedFlowGps, { acrossKpa: Math.max(1, injectorPressureKpa(rail, vacuum)), ratedKpa: sheet.ratedKpa }),
  );
}

/** Dead time from a data sheet [ms] at battery voltages, straight between its points, ends held; NaN without any. Shape (n). */
export function deadTimeFromSheetMs(sheet: InjectorSheet, batteryV: Float64Array): Float64Array {
  const points = [...(sheet.deadTime ?? [])].sort((a, b) => a.batteryV - b.batteryV);
  return batteryV.map((volts) => {
    const above = points.findIndex((point) => point.batteryV >= volts);
    if (points.length === 0) return Number.NaN;
    if (above <= 0) return (above === 0 ? points[0] : points.at(-1))!.ms;
    const [low, high] = [points[above - 1]!, points[above]!];
    return low.ms + ((high.ms - low.ms) * (volts - low.batteryV)) / (high.batteryV - low.batteryV);
  });
}

/**
 * Rated flow that a flow table implies [g/s] at a pressure across the injector, by the square-root law and this rail: the median over the
 * table. NaN without a positive cell.
 */
export function impliedRatedFlowGps(flow: Table, rail: Rail, ratedKpa: number = USUAL_RATED_KPA): number {
  return median(ratiosTo(flow, rail, { ratedFlowGps: 1, ratedKpa }));
}

/** Which injectors are these? Sheets in order of how well size, shape and dead time of the tables fit them. */
export function matchInjectors(
  tables: { readonly flow: Table; readonly deadTime?: Table },
  rail: Rail,
  sheets: readonly InjectorSheet[],
): readonly InjectorMatch[] {
  const matches = sheets.map((sheet): InjectorMatch => {
    const ratios = ratiosTo(tables.flow, rail, sheet);
    const middle = median(ratios);
    const flowPercent = 100 * (middle - 1);
    const shapePercent = 100 * (Math.max(...ratios) / Math.min(...ratios) - 1);
    const deadTimeMs = deadTimeDifferenceMs(tables.deadTime, sheet);
    const parts = [(100 * Math.log(middle)) / FLOW_SD_PERCENT, shapePercent / 2 / SHAPE_SD_PERCENT, (deadTimeMs ?? 0) / DEAD_TIME_SD_MS];
    return { sheet, flowPercent, shapePercent, ...(deadTimeMs === undefined ? {} : { deadTimeMs }), distance: Math.hypot(...parts) };
  });
  return matches.sort((a, b) => a.distance - b.distance || (a.sheet.label < b.sheet.label ? -1 : 1));
}

function ratiosTo(flow: Table, rail: Rail, sheet: Pick<InjectorSheet, "ratedFlowGps" | "ratedKpa">): readonly number[] {
  const lawful = flowFromSheetGps(sheet, rail, flow.x?.values ?? Float64Array.of(0));
  return Array.from(flow.cells, (cell, k) => cell / lawful[k]!).filter((ratio) => ratio > 0);
}

function deadTimeDifferenceMs(table: Table | undefined, sheet: InjectorSheet): number | undefined {
  if (table?.x === undefined || sheet.deadTime === undefined || sheet.deadTime.length === 0) return undefined;
  // Compared where engines run: at cranking voltage sheets are mostly extrapolated.
  const volts = table.x.values.filter((v) => v >= 11 && v <= 15);
  if (volts.length === 0) return undefined;
  const wanted = deadTimeFromSheetMs(sheet, volts);
  return median(Array.from(volts, (v, k) => lookUp(table, v, 0) - wanted[k]!));
}
