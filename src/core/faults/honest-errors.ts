import { blendAfr, dryShareFraction, humidityRatio, injectorFlowRatio } from "../physics/index.ts";
import { type Calibration, lookUp, lookUpCurve, type Role, type Table } from "../tables/index.ts";
import { type Deviation, type OperatingPoint, residualUnder } from "./deviation.ts";
import type { Facts } from "./facts.ts";
import type { ResidualPoint } from "./points.ts";

type Point = Pick<ResidualPoint, "channel" | "at">;

/**
 * What a healthy vehicle may differ by: tables that are honestly wrong (a VE table after a camshaft, a meter in another tube), tolerances of
 * parts and sensors, fuel of the day. Each is a Gaussian process over operating points; none of them is a fault.
 */
export interface HonestError {
  readonly id: string;
  readonly says: string;
  /** A deviation of one standard deviation, by which the error enters the residuals. */
  unit(at: OperatingPoint): Deviation;
  /** Correlation between two operating points, 1 for one constant error. */
  correlation(a: OperatingPoint, b: OperatingPoint): number;
  /** Correlation of the error with itself at another visit of the same vehicle; `LASTS` when left out. */
  readonly lasts?: number;
}

/** Parts and tables err at the next visit nearly as they erred at the last: what is left is wear, dirt and temperature. */
const LASTS = 0.97;

/** A vehicle-wide assumption about how far tables may be off, with its probability; the inference averages over these. */
export interface Setting {
  readonly id: string;
  readonly weight: number;
  /** Factor on the size of VE and of meter errors, and the size of a wrongly entered displacement. */
  readonly veFactor: number;
  readonly meterFactor: number;
  readonly displacementLn: number;
}

export const SETTINGS: readonly Setting[] = [
  { id: "usual", weight: 0.82, veFactor: 1, meterFactor: 1, displacementLn: 0.008 },
  { id: "tables-further-off", weight: 0.13, veFactor: 2.2, meterFactor: 1.5, displacementLn: 0.02 },
  { id: "displacement-entry-wrong", weight: 0.05, veFactor: 1, meterFactor: 1, displacementLn: 0.15 },
];

const same = (): number => 1;
const near = (distance: number): number => Math.exp(-0.5 * distance * distance);

/** Errors that any vehicle may have, sizes by common practice (trims and air models within 5 % call for no action: RT-05, RT-14). */
export function honestErrors(facts: Facts, setting: Setting): readonly HonestError[] {
  const { calibration, reference, intake } = facts.input;
  const flowLn = (a: OperatingPoint): number => Math.log(Math.max(a.airflowGps, 0.3));
  const byFlow =
    (length: number) =>
    (a: OperatingPoint, b: OperatingPoint): number =>
      near((flowLn(a) - flowLn(b)) / length);
  const bySpeedAndLoad =
    (rpmLn: number, kpa: number) =>
    (a: OperatingPoint, b: OperatingPoint): number =>
      near((Math.log(Math.max(a.rpm, 300)) - Math.log(Math.max(b.rpm, 300))) / rpmLn) * near((orZero(a.mapKpa) - orZero(b.mapKpa)) / kpa);
  const byOpening = (a: OperatingPoint, b: OperatingPoint): number =>
    near(Math.log(Math.max(orZero(a.throttleMm2), 1) / Math.max(orZero(b.throttleMm2), 1)) / 0.8);

  const ve = setting.veFactor;
  const meter = setting.meterFactor;
  const tract = facts.intakeTractChanged ? 1.5 : 1;
  const breathing = facts.camChanged || facts.intakeTractChanged || facts.exhaustChanged ? 1.5 : 1;
  const errors: HonestError[] = [
    { id: "meter-tolerance", says: "meter within its tolerance", unit: () => ({ meterLn: 0.018 * meter * tract }), correlation: same },
    { id: "meter-curve", says: "meter curve not exact", unit: () => ({ meterLn: 0.014 * meter * tract }), correlation: byFlow(0.9) },
    { id: "ve-constant", says: "VE table off by one factor", unit: () => ({ cylinderLn: 0.03 * ve * breathing }), correlation: same },
    { id: "ve-smooth", says: "VE table off smoothly", unit: () => ({ cylinderLn: 0.025 * ve * breathing }), correlation: bySpeedAndLoad(0.45, 22) },
    { id: "ve-rough", says: "VE table not exact", unit: () => ({ cylinderLn: 0.012 * ve }), correlation: bySpeedAndLoad(0.15, 8) },
    { id: "displacement", says: "displacement as entered", unit: () => ({ displacementLn: setting.displacementLn }), correlation: same },
    { id: "injector-tolerance", says: "injectors within their tolerance", unit: () => ({ fuelLn: 0.017 }), correlation: same },
    { id: "fuel-smooth", says: "fuel calculation not exact", unit: () => ({ fuelLn: 0.008 }), correlation: byFlow(0.8) },
    { id: "dead-time-tolerance", says: "dead time within its tolerance", unit: (at) => deadTimeShift(at, 0.022), correlation: same },
    { id: "wideband-scale", says: "wide-range sensor within its tolerance", unit: () => ({ lambdaLn: 0.01 }), correlation: same, lasts: 0.8 },
    { id: "stoich", says: "fuel of the day", unit: () => ({ stoichLn: stoichSd(facts) }), correlation: same, lasts: 0.8 },
    { id: "map-sensor", says: "pressure sensor within its tolerance", unit: () => ({ mapKpa: 0.5 }), correlation: same },
    { id: "throttle-scale", says: "area curve off by one factor", unit: (at) => ({ throttleMm2: 0.035 * orZero(at.throttleMm2) }), correlation: same },
    { id: "throttle-smooth", says: "area curve not exact", unit: (at) => ({ throttleMm2: 0.03 * orZero(at.throttleMm2) }), correlation: byOpening },
    {
      id: "throttle-rest",
      says: "rest position within its tolerance",
      unit: () => ({ throttleMm2: (0.025 * facts.idleAirGps) / facts.idleGpsPerMm2 }),
      correlation: same,
    },
    {
      id: "idle-need",
      says: "engine needs another idle airflow than the base table's",
      unit: () => ({ idleNeedGps: idleNeedShare(facts) * facts.idleAirGps }),
      correlation: same,
      lasts: 0.8,
    },
    { id: "banks", says: "banks breathe unlike", unit: () => ({ bankLn: 0.009 }), correlation: same },
    { id: "banks-smooth", says: "banks breathe unlike, and each trim learns by itself", unit: () => ({ bankLn: 0.008 }), correlation: byFlow(0.9) },
  ];
  if (!facts.hasTrims)
    errors.push({ id: "trims-unknown", says: "what the trims had learnt is not known", unit: () => ({ fuelLn: 0.07 }), correlation: byFlow(0.9), lasts: 0.8 });
  if (!facts.tablesKnown)
    errors.push({
      id: "tables-unknown",
      says: "what the controller reckoned with is not known",
      unit: () => ({ fuelLn: 0.06 }),
      correlation: byFlow(0.9),
      lasts: 0.8,
    });
  if (facts.unreferenced.has("air.meter-curve"))
    errors.push({
      id: "meter-edit-unknown",
      says: "whether the meter curve was edited is not known",
      unit: () => ({ meterLn: 0.05 }),
      correlation: byFlow(1.5),
    });
  if (facts.unreferenced.has("air.ve"))
    errors.push({ id: "ve-edit-unknown", says: "whether the VE table was edited is not known", unit: () => ({ cylinderLn: 0.05 }), correlation: same });
  if (facts.camChanged) errors.push(...camErrors(facts, ve));
  errors.push(...editErrors(calibration, reference, facts));
  errors.push(...injectorShapeError(calibration, intake.fuel));
  return errors;
}

/**
 * Filling at idle over what a factory camshaft gives [ln], by the duration entered. Common practice, no published source: about one and a half
 * percent a degree beyond an ordinary 204 degrees; a mild camshaft takes a quarter.
 */
function camLossLn(facts: Facts): number {
  const durationDeg = facts.input.intake.engine.camDurationDeg;
  return durationDeg === undefined ? -0.25 : Math.max(-0.45, Math.min(-0.06, -0.015 * (durationDeg - 204)));
}

/** How strongly a camshaft change acts at this speed: fully at idle, hardly above the middle of the range. */
function lowSpeedShare(at: OperatingPoint): number {
  return Math.exp(-Math.max(0, at.rpm - 650) / 1100);
}

/** A meter cannot tell which way the air goes, so what swings back is counted twice: sound meters tend to read a little high. Common practice. */
const PULSATION_LN = 0.01;

/** Part of the air is water and burns nothing [ln]: −w by the intake sheet's weather, 0 where that is missing. @source PH-20b */
function humidityLn(facts: Facts): number {
  const air = facts.input.intake.ambient;
  if (air?.temperatureC === undefined || air.relativeHumidityPercent === undefined) return 0;
  const { temperatureC, relativeHumidityPercent, pressureKpa = facts.baroKpa } = air;
  return Math.log(dryShareFraction(humidityRatio({ temperatureC, relativeHumidityPercent, pressureKpa })));
}

/**
 * What is expected of a sound vehicle beyond zero: fuel of another stoichiometric ratio than the table's, moist air, a pulsating meter, and less filling at low speed than an
 * untouched VE table says once the camshaft is longer.
 * @source common-practice; idle-ve-cammed-v8 and idle-ve-factory-v8: 48 % seen where the table says 69 %
 */
export function expectedDeviation(at: OperatingPoint, facts: Facts): Deviation {
  const cam = facts.camChanged && !facts.edited.has("air.ve") ? camLossLn(facts) * lowSpeedShare(at) : 0;
  return { stoichLn: expectedStoichLn(facts) + humidityLn(facts), meterLn: PULSATION_LN, ...(cam === 0 ? {} : { cylinderLn: cam }) };
}

/** A longer camshaft takes filling away at low speed and gives some at high speed; a table that does not know it errs most at idle. */
function camErrors(facts: Facts, factor: number): HonestError[] {
  const known = facts.edited.has("air.ve") ? 0.6 : 1;
  const low = lowSpeedShare;
  return [
    {
      id: "cam-low-speed",
      says: "camshaft not in the VE table",
      unit: (at) => ({ cylinderLn: (0.08 + 0.35 * Math.abs(camLossLn(facts))) * known * factor * low(at) }),
      correlation: same,
    },
    {
      id: "cam-low-load",
      says: "camshaft not in the VE table at low load",
      unit: (at) => ({ cylinderLn: 0.1 * known * factor * Math.exp(-orZero(at.mapKpa) / 50) * (0.4 + low(at)) }),
      correlation: same,
    },
    {
      id: "cam-smooth",
      says: "camshaft changes filling smoothly",
      unit: (at) => ({ cylinderLn: 0.05 * known * factor * (1 + low(at)) }),
      correlation: (a, b) => near(Math.log(Math.max(a.rpm, 300) / Math.max(b.rpm, 300)) / 0.4) * near((orZero(a.mapKpa) - orZero(b.mapKpa)) / 30),
    },
  ];
}

/** Where the last hand edited a table, the truth may lie anywhere between what it found and what it left. */
function editErrors(calibration: Calibration | undefined, reference: Calibration | undefined, facts: Facts): HonestError[] {
  const errors: HonestError[] = [];
  const pair = (role: Role): readonly [Table, Table] | undefined => {
    const now = calibration?.byRole[role];
    const before = reference?.byRole[role];
    return now !== undefined && before !== undefined && facts.edited.has(role) ? [now, before] : undefined;
  };
  const ve = pair("air.ve");
  if (ve !== undefined)
    errors.push({
      id: "ve-edit",
      says: "edit of the VE table was wrong",
      unit: (at) => ({ cylinderLn: 0.7 * boundedLn(lookUp(ve[1], at.rpm, orZero(at.mapKpa)) / lookUp(ve[0], at.rpm, orZero(at.mapKpa))) }),
      correlation: same,
    });
  const curve = pair("air.meter-curve");
  if (curve !== undefined) {
    const hertz = hertzOf(curve[0]);
    errors.push({
      id: "meter-edit",
      says: "edit of the meter curve was wrong",
      unit: (at) => ({ meterLn: 0.9 * boundedLn(lookUpCurve(curve[0], hertz(at.airflowGps)) / lookUpCurve(curve[1], hertz(at.airflowGps))) }),
      correlation: same,
    });
  }
  return errors;
}

/** Frequency at which a curve gives an airflow. */
function hertzOf(curve: Table): (airflowGps: number) => number {
  const hz = curve.x?.values ?? Float64Array.of(0);
  return (airflowGps) => {
    for (let k = 1; k < hz.length; k++) {
      const low = curve.cells[k - 1]!;
      const high = curve.cells[k]!;
      if (airflowGps <= high && high > low) return hz[k - 1]! + ((airflowGps - low) / (high - low)) * (hz[k]! - hz[k - 1]!);
    }
    return hz[hz.length - 1]!;
  };
}

/** A flow table whose shape contradicts the rail errs by a known shape; how much of it is real depends on the entry. */
function injectorShapeError(calibration: Calibration | undefined, fuel: Facts["input"]["intake"]["fuel"]): HonestError[] {
  const table = calibration?.byRole["fuel.injector-flow"];
  const gaugeKpa = fuel?.railPressureKpa;
  const reference = fuel?.railReference;
  if (table === undefined || gaugeKpa === undefined || reference === undefined) return [];
  const shapeLn = (at: OperatingPoint): number => {
    const vacuumKpa = Math.max(0, orZero(at.baroKpa - at.mapKpa));
    return Math.log(injectorFlowRatio({ gaugeKpa, reference }, vacuumKpa)) - Math.log(lookUpCurve(table, vacuumKpa) / lookUpCurve(table, 0));
  };
  return [
    {
      id: "injector-shape",
      says: "flow table's shape against the rail",
      unit: (at) => ({ fuelLn: 0.8 * boundedLn(Math.exp(shapeLn(at))) }),
      correlation: same,
    },
  ];
}

/** Fuel missing because the injector opens later than reckoned; the shift grows as voltage falls. @source PH-05 */
export function deadTimeShift(at: OperatingPoint, shiftMs: number): Deviation {
  const { openMs } = at;
  if (!(openMs > 0.15)) return {};
  const here = shiftMs * (13.8 / Math.max(at.batteryV, 9)) ** 1.2;
  return { fuelLn: Math.log(Math.max(1 - here / openMs, 0.3)) };
}

/** ln(stoichiometric ratio of the table / of the fuel as stated), expected on any vehicle with that table. */
function expectedStoichLn(facts: Facts): number {
  const table = facts.input.calibration?.byRole["fuel.stoich"]?.cells[0];
  const ethanol = facts.input.intake.fuel?.ethanolPercentVolume;
  return table === undefined || ethanol === undefined ? 0 : Math.log(table / blendAfr(ethanol / 100));
}

function stoichSd(facts: Facts): number {
  const known = facts.input.intake.fuel?.ethanolPercentVolume !== undefined;
  return (known ? 0.012 : 0.025) + 0.3 * Math.abs(expectedStoichLn(facts));
}

function idleNeedShare(facts: Facts): number {
  const { calibration } = facts.input;
  if (calibration?.byRole["idle.base-airflow"] === undefined) return 0.25;
  return facts.camChanged ? 0.35 : facts.edited.has("idle.base-airflow") ? 0.25 : 0.16;
}

/**
 * What was odd about this vehicle when it left and is not asked about again: a trend of each residual with airflow, far wider than honest errors and
 * nearly the same at the next visit. Only where there is an earlier visit to tell it from.
 */
export function standingOddities(facts: Facts): readonly HonestError[] {
  const byFlow = (a: OperatingPoint, b: OperatingPoint): number => near(Math.log(Math.max(a.airflowGps, 0.3) / Math.max(b.airflowGps, 0.3)) / 0.8);
  const lasts = 0.995;
  return [
    { id: "odd-meter", says: "meter as it was", unit: () => ({ meterLn: 0.06 }), correlation: byFlow, lasts },
    { id: "odd-filling", says: "filling as it was", unit: () => ({ cylinderLn: 0.06 }), correlation: byFlow, lasts },
    { id: "odd-fuel", says: "fuel delivery as it was", unit: () => ({ fuelLn: 0.06 }), correlation: byFlow, lasts },
    { id: "odd-throttle", says: "throttle as it was", unit: (at) => ({ throttleMm2: 0.15 * orZero(at.throttleMm2) }), correlation: byFlow, lasts },
    { id: "odd-idle", says: "idle air as it was", unit: () => ({ idleNeedGps: 0.25 * facts.idleAirGps }), correlation: same, lasts },
    { id: "odd-pressure", says: "pressure sensor as it was", unit: () => ({ mapKpa: 2 }), correlation: same, lasts },
    { id: "odd-banks", says: "banks as they were", unit: () => ({ bankLn: 0.04 }), correlation: byFlow, lasts },
  ];
}

/**
 * Covariance of the points under all honest errors, row-major (n × n); their own noise is not in it. The first `before` points are from an earlier
 * visit of the same vehicle.
 */
export function honestCovariance(points: readonly Point[], errors: readonly HonestError[], before = 0): Float64Array {
  const n = points.length;
  const covariance = new Float64Array(n * n);
  for (const error of errors) {
    const effects = points.map((p) => residualUnder(p.channel, p.at, error.unit(p.at)));
    const lasts = error.lasts ?? LASTS;
    for (let i = 0; i < n; i++) {
      const effect = effects[i]!;
      if (!(Math.abs(effect) > 1e-12)) continue;
      for (let j = 0; j <= i; j++) {
        const other = effects[j]!;
        if (!(Math.abs(other) > 1e-12)) continue;
        covariance[i * n + j] =
          covariance[i * n + j]! + effect * other * error.correlation(points[i]!.at, points[j]!.at) * (i >= before && j < before ? lasts : 1);
      }
    }
  }
  for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) covariance[j * n + i] = covariance[i * n + j]!;
  return covariance;
}

function boundedLn(ratio: number): number {
  return Number.isFinite(ratio) && ratio > 0 ? Math.max(-0.5, Math.min(0.5, Math.log(ratio))) : 0;
}

function orZero(value: number): number {
  return Number.isFinite(value) ? value : 0;
}
