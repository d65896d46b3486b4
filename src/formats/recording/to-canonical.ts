import {
  AFR_OF_LAMBDA_ONE,
  applyConversion,
  conversionOf,
  describeSignal,
  isConvertible,
  parseUnit,
  type SignalId,
  type Unit,
} from "../../core/units/index.ts";
import type { ChosenColumn, ColumnFacts } from "./choose.ts";
import { inferUnit, SETTLING_ORDER, type UnitEvidence } from "./infer-units.ts";
import type { RecordingContext } from "./recording.ts";
import { roughQuantile as quantile } from "./thin.ts";

export interface SettledColumn extends ChosenColumn {
  /** Symbol of the unit that the file gives, or that was inferred. */
  readonly unit: string;
  readonly values: Float64Array;
}

export interface CanonicalInput {
  readonly context: RecordingContext;
  readonly preamble: Readonly<Record<string, string>>;
  readonly repairs: string[];
  readonly kept: (column: { fact: ColumnFacts; signal: SignalId }) => Float64Array;
}

const IMPERIAL = new Set(["psi", "inHg", "°F", "mph", "lb/min", "lb/h", "lb·ft", "lbf", "ft/s"]);
const METRIC = new Set(["kPa", "hPa", "mbar", "bar", "°C", "km/h", "g/s", "kg/h", "Nm", "N"]);

/** Values of the chosen columns in the unit of their signal; units that the file does not give are inferred, and said. */
export function toCanonical(chosen: readonly ChosenColumn[], input: CanonicalInput): SettledColumn[] {
  const known = new Map<SignalId, Float64Array>();
  const settled = new Map<SignalId, string>();
  const plain: string[] = [];
  const result = new Map<number, SettledColumn>();
  const evidence: UnitEvidence = { context: input.context, preamble: input.preamble, known, settled, isImperial: leansImperial(chosen) };
  for (const column of inSettlingOrder(chosen)) {
    const raw = input.kept(column);
    const { signal, fact } = column;
    const given = fact.unit === undefined || fact.unit === "unknown" ? undefined : usable(fact.unit, signal);
    let unit = given;
    if (unit === undefined) {
      const inferred = inferUnit(signal, raw, evidence);
      unit = inferred.unit === "multiplier" ? MULTIPLIER : parseUnit(inferred.unit);
      if (fact.unit === "unknown")
        input.repairs.push(
          `${fact.source}: unit "${fact.unitText}" is not known; taken as ${inferred.unit}${inferred.because === "" ? "" : `, ${inferred.because}`}`,
        );
      else if (inferred.because !== "") input.repairs.push(`${fact.source}: no unit in the file; taken as ${inferred.unit}, ${inferred.because}`);
      else if (inferred.unit !== "-" && inferred.unit !== "0/1") plain.push(`${inferred.unit} for ${signal}`);
      if (inferred.unit !== "multiplier") settled.set(signal, inferred.unit);
    } else settled.set(signal, unit.symbol);
    const values = special(signal, convertAll(raw, unit, signal, input, fact), input, fact);
    known.set(signal, values);
    result.set(fact.index, { ...column, unit: unit?.symbol ?? "", values });
  }
  if (plain.length > 0) input.repairs.push(`no units in the file for ${plain.length} columns; their values fit ${plain.sort().join(", ")}`);
  const inOrder = chosen.map((column) => result.get(column.fact.index)!);
  return withMixtureScale(inOrder, input);
}

const MULTIPLIER: Unit = { symbol: "multiplier", quantity: "share", scale: 1, offset: -1 };

function inSettlingOrder(chosen: readonly ChosenColumn[]): ChosenColumn[] {
  const rank = (column: ChosenColumn): number => {
    const at = SETTLING_ORDER.indexOf(column.signal);
    const isGiven = column.fact.unit !== undefined && column.fact.unit !== "unknown";
    return (isGiven ? 0 : 100) + (at < 0 ? SETTLING_ORDER.length : at);
  };
  return [...chosen].sort((a, b) => rank(a) - rank(b) || a.fact.index - b.fact.index);
}

function leansImperial(chosen: readonly ChosenColumn[]): boolean {
  let imperial = 0;
  let metric = 0;
  for (const { fact } of chosen) {
    if (fact.unit === undefined || fact.unit === "unknown") continue;
    if (IMPERIAL.has(fact.unit.symbol)) imperial++;
    if (METRIC.has(fact.unit.symbol)) metric++;
  }
  return imperial >= 2 && imperial > metric;
}

/** A given unit that can be made the signal's; "-" for a quantity with a dimension says nothing. */
function usable(unit: Unit, signal: SignalId): Unit | undefined {
  const target = describeSignal(signal).unit;
  if (isConvertible(unit, target)) return unit;
  if (unit.quantity === "angle" && target === "%") return unit;
  if ((unit.quantity === "count" || unit.quantity === "state") && (target === "-" || target === "0/1")) return unit;
  return undefined;
}

function convertAll(values: Float64Array, unit: Unit | undefined, signal: SignalId, input: CanonicalInput, fact: ColumnFacts): Float64Array {
  const target = describeSignal(signal).unit;
  if (unit === undefined) return values;
  if (unit.quantity === "angle" && target === "%") {
    input.repairs.push(`${fact.source}: an angle; taken as % of 90 degrees`);
    return values.map((value) => value / 0.9);
  }
  if (!isConvertible(unit, target)) return values;
  const by = conversionOf(unit, target);
  const converted = by.scale === 1 && by.offset === 0 && !by.isReciprocal ? values : values.map((value) => applyConversion(value, by));
  return by.isReciprocal ? converted.map((value) => (Number.isFinite(value) ? value : Number.NaN)) : converted;
}

/** What a single signal needs besides its unit: gauge pressure made absolute, fuel system status made closed loop. */
function special(signal: SignalId, values: Float64Array, input: CanonicalInput, fact: ColumnFacts): Float64Array {
  if (signal === "map" || signal === "mapTarget") {
    const isGauge = fact.unit !== undefined && fact.unit !== "unknown" && fact.unit.isGauge === true;
    if (!isGauge && !(quantile(values, 0.02) < -2)) return values;
    const ambientKpa = input.context.intake?.ambient?.pressureKpa ?? 101.325;
    input.repairs.push(`${fact.source}: pressure against ambient; ${ambientKpa} kPa added to make it absolute`);
    return values.map((value) => value + ambientKpa);
  }
  if (signal === "closedLoop" && values.some((value) => value > 1) && values.every((value) => Number.isNaN(value) || [0, 1, 2, 4, 8, 16].includes(value))) {
    // SAE J1979 PID 03: bits 1 open loop, 2 closed loop, 4 open loop by load, 8 open loop by fault, 16 closed loop with one sensor.
    input.repairs.push(`${fact.source}: fuel system status of SAE J1979; 2 and 16 taken as closed loop`);
    return values.map((value) => (Number.isNaN(value) ? value : value === 2 || value === 16 ? 1 : 0));
  }
  return values;
}

/** Air-fuel ratios are lambda times the ratio that the instrument calls 1: stated in the file, else where the command rests, else 14.7. */
function withMixtureScale(columns: readonly SettledColumn[], input: CanonicalInput): SettledColumn[] {
  const isAfr = (column: SettledColumn): boolean => (column.signal === "lambda" || column.signal === "lambdaTarget") && column.unit === "AFR";
  const afrs = columns.filter(isAfr);
  if (afrs.length === 0) return [...columns];
  const scale = scaleOfMixture(afrs, input);
  for (const { fact } of afrs) input.repairs.push(`${fact.source}: air-fuel ratio made lambda by dividing by ${scale.ratio} (${scale.because})`);
  if (scale.ratio === AFR_OF_LAMBDA_ONE) return [...columns];
  return columns.map((column) => (isAfr(column) ? { ...column, values: column.values.map((value) => (value * AFR_OF_LAMBDA_ONE) / scale.ratio) } : column));
}

function scaleOfMixture(afrs: readonly SettledColumn[], input: CanonicalInput): { ratio: number; because: string } {
  for (const [key, text] of Object.entries(input.preamble)) {
    const number = Number(/\d+(?:[.,]\d+)?/.exec(text)?.[0]?.replace(",", "."));
    if (/stoich/i.test(key) && number > 5 && number < 20) return { ratio: number, because: `"${key}" in the file` };
  }
  const target = afrs.find((column) => column.signal === "lambdaTarget");
  const rest = target === undefined ? undefined : restOf(target.values);
  if (rest !== undefined) {
    const ratio = Number((rest * AFR_OF_LAMBDA_ONE).toPrecision(4));
    if (Math.abs(ratio / AFR_OF_LAMBDA_ONE - 1) > 0.004 && ((ratio > 13.3 && ratio < 15.3) || (ratio > 8.7 && ratio < 10.2)))
      return { ratio, because: "where the commanded ratio rests" };
    return { ratio: AFR_OF_LAMBDA_ONE, because: "the commanded ratio rests there" };
  }
  return { ratio: AFR_OF_LAMBDA_ONE, because: "the usual gasoline scale; the file does not say" };
}

/** The value that a command holds most of the time, when it does. */
function restOf(values: Float64Array): number | undefined {
  const counts = new Map<number, number>();
  let filled = 0;
  for (const value of values) {
    if (Number.isNaN(value)) continue;
    filled++;
    const rounded = Math.round(value * 2000) / 2000;
    counts.set(rounded, (counts.get(rounded) ?? 0) + 1);
  }
  let best = Number.NaN;
  for (const [value, count] of counts) if (count > (counts.get(best) ?? 0)) best = value;
  return (counts.get(best) ?? 0) > 0.35 * filled ? best : undefined;
}
