import type { VisitView } from "../api/index.ts";
import type { Recording } from "../core/recordings/index.ts";

/** A row of a recording that says where the engine was. */
export interface Place {
  readonly timeS: number;
  readonly rpm: number;
  readonly kpa: number;
}

/** Axes of the field whose cells are filled. */
export interface Axes {
  readonly rpm: readonly number[];
  readonly kpa: readonly number[];
}

/** A longer wait between two rows is a gap of the logger, not time spent [s]. */
const LONGEST_STEP_S = 1;
/** Slower than this the engine does not run [rpm]. */
const RUNNING_RPM = 300;

/** Where the engine was, row by row; slow channels hold their last value. Empty where speed or pressure was not recorded. */
export function placesOf(recording: Recording): readonly Place[] {
  const rpm = recording.channels.rpm?.values;
  const kpa = recording.channels.map?.values;
  if (rpm === undefined || kpa === undefined) return [];
  let [lastRpm, lastKpa] = [Number.NaN, Number.NaN];
  return Array.from(recording.timeS, (timeS, i) => {
    if (!Number.isNaN(rpm[i]!)) lastRpm = rpm[i]!;
    if (!Number.isNaN(kpa[i]!)) lastKpa = kpa[i]!;
    return { timeS, rpm: lastRpm, kpa: lastKpa };
  });
}

/** Adds the time between rows to the cell nearest to where the engine was. @param dwellS  shape (pressures × speeds), changed in place */
export function addDwell(dwellS: Float64Array, axes: Axes, places: readonly Place[]): void {
  forEachStep(places, (place, stepS) => {
    const cell = nearest(axes.kpa, place.kpa) * axes.rpm.length + nearest(axes.rpm, place.rpm);
    dwellS[cell]! += stepS;
  });
}

/** Adds the time between rows to the visits whose region the engine was in. @param visitS  shape (visits), changed in place */
export function addVisits(visitS: Float64Array, visits: readonly VisitView[], axes: Axes, places: readonly Place[]): void {
  const reaches = visits.map((visit) => reachOf(visit, axes));
  forEachStep(places, (place, stepS) => {
    visits.forEach((visit, k) => {
      const isIn = place.rpm >= visit.fromRpm && place.rpm < visit.toRpm && place.kpa >= reaches[k]![0] && place.kpa < reaches[k]![1];
      if (isIn) visitS[k]! += stepS;
    });
  });
}

/** Pressures of a visit's region: its cells reach half-way to their neighbours. */
export function reachOf(visit: Pick<VisitView, "fromKpa" | "toKpa">, axes: Pick<Axes, "kpa">): readonly [number, number] {
  const below = axes.kpa.filter((kpa) => kpa < visit.fromKpa).at(-1);
  const above = axes.kpa.find((kpa) => kpa > visit.toKpa);
  return [below === undefined ? 0 : (below + visit.fromKpa) / 2, above === undefined ? Number.POSITIVE_INFINITY : (above + visit.toKpa) / 2];
}

function forEachStep(places: readonly Place[], visit: (place: Place, stepS: number) => void): void {
  for (let i = 1; i < places.length; i++) {
    const place = places[i]!;
    const stepS = place.timeS - places[i - 1]!.timeS;
    if (stepS > 0 && stepS <= LONGEST_STEP_S && place.rpm > RUNNING_RPM && !Number.isNaN(place.kpa)) visit(place, stepS);
  }
}

function nearest(values: readonly number[], at: number): number {
  let best = 0;
  for (let i = 1; i < values.length; i++) if (Math.abs(values[i]! - at) < Math.abs(values[best]! - at)) best = i;
  return best;
}
