import { cylinderL } from "../../core/result/index.ts";
import { applyConversion, conversionOf, describeSignal, type SignalId } from "../../core/units/index.ts";
import type { RecordingContext } from "./recording.ts";
import { roughQuantile as quantile } from "./thin.ts";

/** A unit chosen for a column that names none, and what spoke for it. */
export interface InferredUnit {
  /** Symbol of a known unit, or "multiplier" for a trim written as 1.05. */
  readonly unit: string;
  readonly because: string;
}

/** What is known when a unit has to be inferred: channels already in canonical units, and how the file's known units lean. */
export interface UnitEvidence {
  readonly context: RecordingContext;
  readonly preamble: Readonly<Record<string, string>>;
  readonly known: ReadonlyMap<SignalId, Float64Array>;
  /** Units settled so far, for signals that share theirs. */
  readonly settled: ReadonlyMap<SignalId, string>;
  readonly isImperial: boolean;
}

/** Order in which units are settled: the ones that others are judged by come first. */
export const SETTLING_ORDER: readonly SignalId[] = ["rpm", "gear", "ect", "iat", "baro", "map", "tp1", "vss", "maf", "lambdaTarget"];

const ROOM_AIR_KPA = 98;

/** The likeliest unit of values that have none: believable range first, then what other channels say. */
export function inferUnit(signal: SignalId, values: Float64Array, evidence: UnitEvidence): InferredUnit {
  const canonical = describeSignal(signal).unit;
  const judge = JUDGES[signal];
  if (judge === undefined || values.every((value) => Number.isNaN(value))) return { unit: canonical, because: "" };
  return judge(values, evidence);
}

type Judge = (values: Float64Array, evidence: UnitEvidence) => InferredUnit;

const JUDGES: Readonly<Partial<Record<SignalId, Judge>>> = {
  map: manifoldPressure,
  mapTarget: (values, evidence) => shared("map", evidence) ?? manifoldPressure(values, evidence),
  baro: (values, evidence) => {
    const ambient = evidence.context.intake?.ambient?.pressureKpa ?? ROOM_AIR_KPA;
    const median = quantile(values, 0.5);
    return nearest(PRESSURES, (by) => Math.abs(Math.log(by(median) / ambient)), `barometer reads ${short(median)}`);
  },
  ect: (values) => {
    const high = quantile(values, 0.9);
    const low = quantile(values, 0.02);
    return nearest(["°C", "°F", "K"], (by) => outside(by(high), 60, 115, 30) + outside(by(low), -40, 100, 30), `it reaches ${short(high)}`);
  },
  iat: (values, evidence) => {
    const high = quantile(values, 0.95);
    const coolant = shared("ect", evidence);
    return nearest(
      ["°C", "°F", "K"],
      (by) => outside(by(high), -30, 70, 20) + outside(by(quantile(values, 0.02)), -40, 60, 20),
      `it reaches ${short(high)}`,
      coolant?.unit,
    );
  },
  maf: airflow,
  idleAirTarget: (values, evidence) => sharedAirflow(values, evidence),
  idleAirAdapt: (values, evidence) => shared("idleAirTarget", evidence) ?? sharedAirflow(values, evidence),
  mafHz: (values) => (quantile(values, 0.95) < 40 ? { unit: "kHz", because: `it reaches ${short(quantile(values, 0.95))}` } : { unit: "Hz", because: "" }),
  vss: (values, evidence) => roadSpeed(values, evidence, undefined),
  rollerKmh: (values, evidence) => roadSpeed(values, evidence, statedGear(evidence)),
  lambda: mixture,
  lambdaTarget: mixture,
  stft1: trim,
  stft2: trim,
  ltft1: trim,
  ltft2: trim,
  tp1: share,
  tp2: share,
  pedal: share,
  lockupDuty: share,
  o2v1: volts(0.005, 2),
  o2v2: volts(0.005, 2),
  battery: volts(5, 20),
  injMs: (values) => {
    const high = quantile(values, 0.9);
    return high > 120
      ? { unit: "µs", because: `it reaches ${short(high)}` }
      : high < 0.06
        ? { unit: "s", because: `it reaches ${short(high)}` }
        : { unit: "ms", because: "" };
  },
  linePressure: (values) => {
    const high = quantile(values, 0.95);
    const unit = high < 40 ? "bar" : high < 320 ? "psi" : high < 3500 ? "kPa" : "hPa";
    return { unit, because: unit === "kPa" ? "" : `it reaches ${short(high)}` };
  },
  torque: (_, evidence) => (evidence.isImperial ? { unit: "lb·ft", because: "the file's other units are imperial" } : { unit: "Nm", because: "" }),
  rollerForceN: (values, evidence) => {
    const high = quantile(values, 0.98);
    if (high < 40) return { unit: "kN", because: `it reaches ${short(high)}` };
    return evidence.isImperial ? { unit: "lbf", because: "the file's other units are imperial" } : { unit: "N", because: "" };
  },
};

const PRESSURES = ["kPa", "hPa", "psi", "inHg", "bar", "mmHg"] as const;

function short(value: number): string {
  return String(Number(value.toPrecision(3)));
}

/** Distance outside a range, in widths. */
function outside(value: number, low: number, high: number, width: number): number {
  return value < low ? (low - value) / width : value > high ? (value - high) / width : 0;
}

function outsideLn(value: number, low: number, high: number): number {
  return value <= 0 ? 3 : value < low ? Math.log(low / value) : value > high ? Math.log(value / high) : 0;
}

/** The candidate with the least penalty; the first (canonical) keeps it unless another is better by a margin. */
function nearest(units: readonly string[], penalty: (convert: (value: number) => number) => number, because: string, favoured?: string): InferredUnit {
  const canonical = units[0]!;
  let best = { unit: canonical, cost: Number.POSITIVE_INFINITY };
  for (const unit of units) {
    const by = conversionOf(unit, canonical);
    const lean = unit === favoured ? -0.3 : unit === canonical && favoured === undefined ? -0.08 : 0;
    const cost = penalty((value) => applyConversion(value, by)) + lean;
    if (cost < best.cost) best = { unit, cost };
  }
  return { unit: best.unit, because: best.unit === canonical ? "" : because };
}

function shared(signal: SignalId, evidence: UnitEvidence): InferredUnit | undefined {
  const unit = evidence.settled.get(signal);
  return unit === undefined ? undefined : { unit, because: unit === describeSignal(signal).unit ? "" : `as ${signal}` };
}

function whereEngineStands(values: Float64Array, evidence: UnitEvidence): number {
  const rpm = evidence.known.get("rpm");
  if (rpm === undefined || !rpm.some((value) => value === 0)) return Number.NaN;
  return quantile(
    values.filter((_, i) => rpm[i] === 0),
    0.5,
  );
}

/** Engine off, manifold and barometer agree; running, it lies between a deep overrun and full boost. */
function manifoldPressure(values: Float64Array, evidence: UnitEvidence): InferredUnit {
  const baro = evidence.known.get("baro");
  const ambient = baro === undefined ? (evidence.context.intake?.ambient?.pressureKpa ?? ROOM_AIR_KPA) : quantile(baro, 0.5);
  const off = whereEngineStands(values, evidence);
  const high = quantile(values, 0.995);
  const low = quantile(values, 0.02);
  const ceiling = evidence.context.intake?.engine.boosted === true ? 330 : 112;
  const because = Number.isNaN(off) ? `it lies between ${short(low)} and ${short(high)}` : `engine off it reads ${short(off)}`;
  return nearest(
    PRESSURES,
    (by) => outsideLn(by(high), 60, ceiling) + outsideLn(by(low), 8, 75) + (Number.isNaN(off) ? 0 : 3 * Math.abs(Math.log(Math.max(1e-9, by(off)) / ambient))),
    because,
  );
}

const AIRFLOWS = ["g/s", "kg/h", "lb/min"] as const;

/** Volumetric efficiency that rows with speed, pressure and airflow imply; one unit makes it believable. */
function airflow(values: Float64Array, evidence: UnitEvidence): InferredUnit {
  const { intake } = evidence.context;
  const rpm = evidence.known.get("rpm");
  const map = evidence.known.get("map");
  if (intake === undefined || rpm === undefined || map === undefined)
    return evidence.isImperial ? { unit: "lb/min", because: "the file's other units are imperial" } : { unit: "g/s", because: "" };
  const efficiencies = volumetricEfficiencies(values, { rpm, map, iat: evidence.known.get("iat"), displacementL: cylinderL(intake) * intake.engine.cylinders });
  const middle = quantile(efficiencies, 0.5);
  if (!(middle > 0)) return { unit: "g/s", because: "" };
  return nearest(
    AIRFLOWS,
    (by) => Math.abs(Math.log(by(middle) / 0.65)),
    `only so does it fill the engine as its speed and pressure ask (VE ${short(middle)} if read as g/s)`,
  );
}

/** VE of rows with the engine running, VE = 120 · ṁ · R · T / (n · p · V); held values fill the blanks of slow channels. */
export function volumetricEfficiencies(
  mafGps: Float64Array,
  at: { rpm: Float64Array; map: Float64Array; iat: Float64Array | undefined; displacementL: number },
): Float64Array {
  const out: number[] = [];
  let rpm = Number.NaN;
  let map = Number.NaN;
  let iatC = 25;
  for (let i = 0; i < mafGps.length; i++) {
    if (!Number.isNaN(at.rpm[i]!)) rpm = at.rpm[i]!;
    if (!Number.isNaN(at.map[i]!)) map = at.map[i]!;
    if (at.iat !== undefined && !Number.isNaN(at.iat[i]!)) iatC = at.iat[i]!;
    const flow = mafGps[i]!;
    if (rpm > 500 && map > 8 && flow > 0) out.push((120 * flow * 0.28705 * (iatC + 273.15)) / (rpm * map * at.displacementL));
  }
  return Float64Array.from(out);
}

/** Idle air is a part of the metered air: standing at idle the two agree in size. */
function sharedAirflow(values: Float64Array, evidence: UnitEvidence): InferredUnit {
  const maf = evidence.known.get("maf");
  const rpm = evidence.known.get("rpm");
  if (maf === undefined || rpm === undefined) return shared("maf", evidence) ?? { unit: "g/s", because: "" };
  const slow = quantile(
    maf.filter((_, i) => rpm[i]! > 400 && rpm[i]! < 1100),
    0.3,
  );
  const target = quantile(values, 0.3);
  if (!(slow > 0) || !(target > 0)) return shared("maf", evidence) ?? { unit: "g/s", because: "" };
  return nearest(AIRFLOWS, (by) => Math.abs(Math.log(by(target) / slow)), "it has the size of the metered air at idle");
}

function statedGear(evidence: UnitEvidence): number | undefined {
  const entry = Object.entries(evidence.preamble).find(([key]) => /^gear$/i.test(key.trim()));
  const gear = entry === undefined ? Number.NaN : Number(/\d+/.exec(entry[1])?.[0]);
  return gear > 0 ? gear : undefined;
}

const SPEEDS = ["km/h", "mph", "m/s"] as const;

/** Gear, axle and tyre turn engine speed into road speed; the fastest ratio seen is held against the tallest gear. */
function roadSpeed(values: Float64Array, evidence: UnitEvidence, gear: number | undefined): InferredUnit {
  const vehicle = evidence.context.intake?.vehicle;
  const rpm = evidence.known.get("rpm");
  const fallback: InferredUnit = evidence.isImperial ? { unit: "mph", because: "the file's other units are imperial" } : { unit: "km/h", because: "" };
  if (
    rpm === undefined ||
    vehicle?.axleRatio === undefined ||
    vehicle.tireRevsPerKm === undefined ||
    vehicle.gearRatios === undefined ||
    vehicle.gearRatios.length === 0
  )
    return fallback;
  const perRpm: number[] = [];
  let last = Number.NaN;
  for (let i = 0; i < values.length; i++) {
    if (!Number.isNaN(rpm[i]!)) last = rpm[i]!;
    // Under power only: coasting out of gear has no ratio.
    if (last > 1200 && values[i]! > 8) perRpm.push(values[i]! / last);
  }
  if (perRpm.length < 10) return fallback;
  const ratio = gear === undefined ? Math.min(...vehicle.gearRatios) : (vehicle.gearRatios[gear - 1] ?? 1);
  const expected = 60 / (ratio * vehicle.axleRatio * vehicle.tireRevsPerKm);
  const seen = quantile(Float64Array.from(perRpm), gear === undefined ? 0.9 : 0.5);
  return nearest(SPEEDS, (by) => Math.abs(Math.log(by(seen) / expected)), "only so do gear, axle and tyre fit engine speed");
}

function mixture(values: Float64Array, evidence: UnitEvidence): InferredUnit {
  const middle = quantile(values, 0.5);
  if (middle > 5) return { unit: "AFR", because: `it reads ${short(middle)} mostly` };
  const loaded = underLoad(values, evidence);
  // Commanded at full load, lambda lies below one and the equivalence ratio above.
  if (loaded > 1.03 && loaded < 1.6) return { unit: "equivalence ratio", because: `at full load it reads ${short(loaded)}` };
  return { unit: "lambda", because: "" };
}

function underLoad(values: Float64Array, evidence: UnitEvidence): number {
  const throttle = evidence.known.get("tp1");
  if (throttle === undefined) return Number.NaN;
  let open = Number.NaN;
  const loaded = values.filter((_, i) => {
    if (!Number.isNaN(throttle[i]!)) open = throttle[i]!;
    return open > 85;
  });
  return loaded.length < 5 ? Number.NaN : quantile(loaded, 0.5);
}

function trim(values: Float64Array): InferredUnit {
  const low = quantile(values, 0.01);
  const high = quantile(values, 0.99);
  if (low > 0.5 && high < 1.6 && low < 1.05 && high > 0.95) return { unit: "multiplier", because: `it moves about 1 (${short(low)} to ${short(high)})` };
  if (!(Math.max(Math.abs(low), Math.abs(high)) < 0.4)) return { unit: "%", because: "" };
  const distinct = new Set(values.filter((value) => !Number.isNaN(value) && value !== 0));
  if (distinct.size >= 5 && [...distinct].filter((value) => Math.abs(value) < 0.3).length > 0.9 * distinct.size)
    return { unit: "fraction", because: `it stays within ${short(low)} and ${short(high)}` };
  return { unit: "%", because: "" };
}

function share(values: Float64Array): InferredUnit {
  const high = quantile(values, 1);
  if (!(high > 0 && high <= 1.02)) return { unit: "%", because: "" };
  const distinct = new Set(values.filter((value) => value > 0 && value < 1));
  return distinct.size >= 3 ? { unit: "fraction", because: `it never passes ${short(high)}` } : { unit: "%", because: "" };
}

function volts(low: number, high: number): Judge {
  return (values) => {
    const middle = quantile(values, 0.9);
    return middle > high * 5 && middle / 1000 >= low ? { unit: "mV", because: `it reaches ${short(middle)}` } : { unit: "V", because: "" };
  };
}
