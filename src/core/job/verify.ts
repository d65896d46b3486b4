import { mean } from "../../base/index.ts";
import { replay } from "../controller/index.ts";
import type { Observations } from "../residuals/index.ts";
import type { Intake } from "../result/index.ts";
import type { Axis, Calibration, Role, Table } from "../tables/index.ts";
import { lookUpCurve } from "../tables/index.ts";

export type Verdict = "verified" | "not yet" | "worse" | "not driven";

/** Mean of an error over the samples of a region, with its standard error; both as shares, or g/s for idle air. */
export interface MeanError {
  readonly mean: number;
  readonly sd: number;
  /** Independent samples. */
  readonly samples: number;
}

export interface RegionVerification {
  /** "600 to 1800 rpm, 20 to 45 kPa". */
  readonly name: string;
  /** With the tables before, as recorded. */
  readonly before: MeanError;
  /** With the new tables, over the recording made before. */
  readonly predicted: MeanError;
  /** With the new tables in the controller. */
  readonly observed: MeanError;
  /** Mean error up to which it counts as right. */
  readonly tolerance: number;
  readonly verdict: Verdict;
}

export interface TableVerification {
  readonly role: Role;
  readonly title: string;
  /** "share" of the air or fuel, or g/s. */
  readonly unit: "share" | "g/s";
  readonly regions: readonly RegionVerification[];
  readonly verdict: Verdict;
}

export interface Verification {
  readonly tables: readonly TableVerification[];
  readonly verdict: Verdict;
  /** Changed tables that a recording cannot judge, and inputs that lacked. */
  readonly couldNot: readonly string[];
}

export interface VerifyInput {
  readonly before: Calibration;
  readonly after: Calibration;
  readonly intake: Intake;
  /** Recordings made on the tables before, read against them. */
  readonly drivenBefore: readonly Observations[];
  /** Recordings made on the new tables, read against those. */
  readonly drivenAfter: readonly Observations[];
}

/**
 * Mean error that counts as right. Closed-loop trims within 5 % need no action (RT-05); a table that was just corrected is held to
 * 3 %. Common practice, no published source.
 */
const TOLERANCE_SHARE = 0.03;
/** Idle air within this share of the base airflow is right: common practice, no published source. */
const IDLE_TOLERANCE_SHARE = 0.06;
/** Independent samples that a region needs to be judged. @source RT-29 (common practice) */
const DRIVEN_FROM = 5;
/** 90 % two-sided, normal. */
const CLEAR = 1.645;
const WARM_ECT_C = 60;
const LEAST_SD = 0.005;

/** What one sample says of a table: where it stands on the table's axes, and by how much the table is off there. */
interface Errors {
  readonly x: Float64Array;
  readonly y: Float64Array | undefined;
  readonly error: Float64Array;
  readonly weight: Float64Array;
  readonly effectiveShare: number;
}

interface Series {
  readonly seen: Observations;
  readonly fuelResidual: Float64Array;
  readonly modelResidual: Float64Array;
  readonly usesMeter: Float64Array;
  readonly tables: Calibration;
}

type Judge = (series: Series, table: Table) => Errors;

const bySpeedAndPressure: Judge = (series) => ({
  x: series.seen.rpm,
  y: series.seen.mapKpa,
  // Where the meter gives the air, the table's error is the meter's plus what the two models differ by.
  error: series.fuelResidual.map((fuel, i) => (series.usesMeter[i] === 0 ? fuel : fuel + series.modelResidual[i]!)),
  weight: weightOf(series.seen),
  effectiveShare: series.seen.effectiveShare,
});

const byFrequency: Judge = (series) => ({
  x: series.seen.mafHz,
  y: undefined,
  error: series.fuelResidual.map((fuel, i) => (series.usesMeter[i] === 1 ? fuel : fuel - series.modelResidual[i]!)),
  weight: weightOf(series.seen),
  effectiveShare: series.seen.effectiveShare,
});

const byVacuum: Judge = (series) => ({
  x: series.seen.mapKpa.map((map, i) => series.seen.baroKpa[i]! - map),
  y: undefined,
  error: series.fuelResidual,
  weight: weightOf(series.seen),
  effectiveShare: series.seen.effectiveShare,
});

const byVoltage: Judge = (series, table) => ({ ...byVacuum(series, table), x: series.seen.batteryV });

/**
 * What idle control asks for beyond the base airflow once the idle has settled: learned and momentary part together, because the learned
 * part alone lags behind. With another base the engine asks for the same air.
 */
const byCoolant: Judge = (series, table) => {
  const { seen, tables } = series;
  const base = tables.byRole["idle.base-airflow"] ?? table;
  const beyond = seen.idleAirTargetGps.map((asked, i) => (Number.isNaN(seen.idleResidualGps[i]!) ? Number.NaN : asked - lookUpCurve(base, seen.ectC[i]!)));
  return { x: seen.ectC, y: undefined, error: beyond, weight: seen.steadiness, effectiveShare: seen.effectiveShare };
};

const JUDGES: Readonly<Partial<Record<Role, Judge>>> = {
  "air.ve": bySpeedAndPressure,
  "air.meter-curve": byFrequency,
  "fuel.injector-flow": byVacuum,
  "fuel.injector-dead-time": byVoltage,
  "idle.base-airflow": byCoolant,
};
/** Tables without a place of their own in a recording: the mixture over airflow tells of them. */
const OVER_ALL: Judge = (series) => ({
  x: series.seen.meterGps.map((flow, i) => (flow > 0 ? flow : series.seen.speedDensityGps[i]!)),
  y: undefined,
  error: series.fuelResidual,
  weight: weightOf(series.seen),
  effectiveShare: series.seen.effectiveShare,
});
const BY_MIXTURE: ReadonlySet<Role> = new Set(["fuel.stoich", "air.charge-temperature-blend", "air.model-switch-speed"]);

/**
 * Whether a revision did what was predicted: for each changed table and each of its regions the error before, the error that the new
 * tables would have left over the same drive, and the error seen with them in the controller. Pure.
 */
export function verifyRevision(input: VerifyInput): Verification {
  const couldNot: string[] = [];
  const before = input.drivenBefore.map((seen) => asDriven(seen, input.before));
  const predicted = input.drivenBefore.map((seen) => asReplayed(seen, input));
  const observed = input.drivenAfter.map((seen) => asDriven(seen, input.after));
  if (observed.length === 0) couldNot.push("nothing was verified: there is no recording with these tables in the controller");
  const tables: TableVerification[] = [];
  for (const table of changedTables(input)) {
    const role = table.role!;
    const judge = JUDGES[role] ?? (BY_MIXTURE.has(role) ? OVER_ALL : undefined);
    if (judge === undefined) {
      couldNot.push(`${table.title}: whether the change does its work does not show in airflow or mixture; judge it on the road`);
      continue;
    }
    const gather = (series: readonly Series[]): readonly Errors[] => series.map((one) => judge(one, table));
    const regions = regionsOf(table, role).map((region): RegionVerification => {
      const errors = { before: meanIn(gather(before), region), predicted: meanIn(gather(predicted), region), observed: meanIn(gather(observed), region) };
      const tolerance = toleranceOf(role, table, region);
      return { name: region.name, ...errors, tolerance, verdict: verdictOf(errors.before, errors.observed, tolerance) };
    });
    const driven = regions.filter((region) => region.before.samples >= DRIVEN_FROM || region.observed.samples >= DRIVEN_FROM);
    tables.push({ role, title: table.title, unit: role === "idle.base-airflow" ? "g/s" : "share", regions: driven, verdict: joined(driven) });
  }
  return { tables, verdict: joined(tables), couldNot };
}

function asDriven(seen: Observations, tables: Calibration): Series {
  return { seen, fuelResidual: seen.fuelResidual, modelResidual: seen.modelResidual, usesMeter: seen.usesMeter, tables };
}

function asReplayed(seen: Observations, input: VerifyInput): Series {
  const { fuelResidual, modelResidual, usesMeter } = replay(seen, input.before, input.after, input.intake.engine);
  return { seen, fuelResidual, modelResidual, usesMeter, tables: input.after };
}

function changedTables(input: VerifyInput): readonly Table[] {
  return input.after.tables
    .filter((table) => {
      const old = table.role === undefined ? undefined : input.before.byRole[table.role];
      return old !== undefined && (old.cells.length !== table.cells.length || table.cells.some((cell, i) => cell !== old.cells[i]));
    })
    .sort((a, b) => (a.role! < b.role! ? -1 : 1));
}

/** Steady, warm, running: where an error of the tables shows by itself. */
function weightOf(seen: Observations): Float64Array {
  return seen.steadiness.map((steady, i) => (seen.rpm[i]! > 400 && !(seen.ectC[i]! < WARM_ECT_C) ? steady : 0));
}

function toleranceOf(role: Role, table: Table, region: Region): number {
  if (role !== "idle.base-airflow") return TOLERANCE_SHARE;
  const inRegion = table.cells.filter((_, i) => table.x === undefined || isIn(table.x.values[i]!, region.x));
  return IDLE_TOLERANCE_SHARE * mean(inRegion.length === 0 ? table.cells : inRegion);
}

// --- regions ----------------------------------------------------------------------------------------------------------

interface Region {
  readonly name: string;
  readonly x: readonly [number, number];
  readonly y?: readonly [number, number];
}

/** A table cut into three spans along each axis, the outer ones open; mixture over airflow into three as well. */
function regionsOf(table: Table, role: Role): readonly Region[] {
  if (BY_MIXTURE.has(role) || table.x === undefined)
    return [
      { name: "below 10 g/s of air", x: [Number.NEGATIVE_INFINITY, 10] },
      { name: "10 to 40 g/s of air", x: [10, 40] },
      { name: "above 40 g/s of air", x: [40, Number.POSITIVE_INFINITY] },
    ];
  const across = thirdsOf(table.x);
  const down = role === "air.ve" && table.y !== undefined ? thirdsOf(table.y) : undefined;
  if (down === undefined) return across.map(({ name, span }) => ({ name, x: span }));
  return down.flatMap((y) => across.map((x) => ({ name: `${x.name}, ${y.name}`, x: x.span, y: y.span })));
}

function thirdsOf(axis: Axis): readonly { readonly name: string; readonly span: readonly [number, number] }[] {
  const { values, unit } = axis;
  const last = values.length - 1;
  const cuts = last < 3 ? [0, last] : [0, Math.round(last / 3), Math.round((2 * last) / 3), last];
  return cuts.slice(1).map((to, k) => {
    const from = cuts[k]!;
    return {
      name: `${values[from]!} to ${values[to]!} ${unit}`.trimEnd(),
      span: [from === 0 ? Number.NEGATIVE_INFINITY : values[from]!, to === last ? Number.POSITIVE_INFINITY : values[to]!] as const,
    };
  });
}

function meanIn(all: readonly Errors[], region: Region): MeanError {
  let weights = 0;
  let sum = 0;
  let squares = 0;
  let samples = 0;
  for (const { x, y, error, weight, effectiveShare } of all)
    for (let i = 0; i < error.length; i++) {
      const w = weight[i]!;
      const e = error[i]!;
      if (!(w > 0.2) || !Number.isFinite(e) || !isIn(x[i]!, region.x) || (region.y !== undefined && !isIn(y?.[i] ?? Number.NaN, region.y))) continue;
      weights += w;
      sum += w * e;
      squares += w * e * e;
      samples += w * effectiveShare;
    }
  if (weights === 0) return { mean: Number.NaN, sd: Number.NaN, samples: 0 };
  const centre = sum / weights;
  const spread = Math.max(LEAST_SD, Math.sqrt(Math.max(0, squares / weights - centre * centre)));
  return { mean: centre, sd: spread / Math.sqrt(Math.max(1, samples)), samples };
}

function isIn(value: number, [low, high]: readonly [number, number]): boolean {
  return value >= low && value < high;
}

// --- verdicts ---------------------------------------------------------------------------------------------------------

function verdictOf(before: MeanError, observed: MeanError, tolerance: number): Verdict {
  if (observed.samples < DRIVEN_FROM) return "not driven";
  if (Math.abs(observed.mean) <= tolerance) return "verified";
  const doubt = CLEAR * Math.hypot(before.sd, observed.sd);
  return before.samples >= DRIVEN_FROM && Math.abs(observed.mean) > Math.abs(before.mean) + doubt ? "worse" : "not yet";
}

/** The worst of what was driven. */
function joined(parts: readonly { readonly verdict: Verdict }[]): Verdict {
  const order: readonly Verdict[] = ["worse", "not yet", "verified"];
  return order.find((verdict) => parts.some((part) => part.verdict === verdict)) ?? "not driven";
}
