import type { ColumnFacts } from "./choose.ts";
import { isTextCode } from "./columns.ts";
import { roughQuantile as quantile } from "./thin.ts";
import { makeTimeBase, type TimeBase, typicalStep, unitOfTime } from "./time.ts";

export interface FoundTime {
  /** Column that is the clock, -1 when there is none. */
  readonly column: number;
  readonly base: TimeBase;
}

const TIME_NAME = /(^|[^a-z])(time|t|timestamp|time\s?stamp|elapsed|seconds|secs?|zeit|clock|uhrzeit|offset|msec|ms)([^a-z]|$)/i;
const SAMPLE_NAME = /^(sample|samples|index|frame|row|record|no\.?|nr\.?|n|#|count|line|id|point|scan)(\s*(no\.?|number|index|count|#))?$/i;
/** Time between rows where nothing in the file tells. */
const ASSUMED_STEP_S = 0.1;
/** Road speed hardly ever changes faster than this [km/h per s] (common practice: a brisk start does 10, ordinary driving half). */
const BRISK_KMH_PER_S = 6;

/** Finds the clock among the columns, or makes one from a sample number, a stated rate, or an assumption; says so. */
export function findTime(
  facts: readonly ColumnFacts[],
  values: readonly Float64Array[],
  preamble: Readonly<Record<string, string>>,
  repairs: string[],
): FoundTime {
  const best = facts.map((fact) => ({ fact, score: scoreTime(fact) })).reduce((a, b) => (b.score > a.score ? b : a));
  const rising = best.score > 0.5 ? undefined : risingFirst(facts);
  if (rising !== undefined) repairs.push(`${rising.source}: taken for the time, as the first column that only rises`);
  if (best.score > 0.5 || rising !== undefined) {
    const fact = rising ?? best.fact;
    const raw = withoutWords(values[fact.index]!);
    const scale = scaleOf(fact, raw, repairs);
    const origin = fact.isClock ? 0 : (raw.find((value) => Number.isFinite(value)) ?? 0);
    const base = makeTimeBase(
      // Taken from the first stamp before scaling, or counts since 1970 lose their last digits.
      raw.map((value) => (value - origin) * scale),
      fact.isClock,
    );
    repairs.push(...base.repairs);
    return { column: fact.index, base };
  }
  return withoutClock(facts, values, preamble, repairs);
}

function withoutWords(values: Float64Array): Float64Array {
  return values.map((value) => (isTextCode(value) ? Number.NaN : value));
}

/** The first column when it only rises and nothing else can be made of it: a clock by an odd name. */
function risingFirst(facts: readonly ColumnFacts[]): ColumnFacts | undefined {
  const first = facts[0]!;
  if (first.guesses.length > 0 || SAMPLE_NAME.test(first.name) || facts.length < 2 || first.values.length < 4) return undefined;
  const n = first.values.length;
  return forwardShare(first.values) > 0.99 && new Set(first.values).size > 0.2 * n ? first : undefined;
}

/** How much a column looks like the clock: its name, its unit, and that it runs forward. */
function scoreTime(fact: ColumnFacts): number {
  const isTimeUnit = fact.unit !== undefined && fact.unit !== "unknown" && fact.unit.quantity === "time";
  const isClockUnit = /^h+:mm?/i.test(fact.unitText);
  let score = 0;
  if (TIME_NAME.test(fact.name)) score += 0.5;
  if (/^(time|timestamp|t|elapsed)/i.test(fact.name)) score += 0.1;
  if (isTimeUnit || isClockUnit) score += 0.2;
  if (fact.isClock) score += 0.5;
  // "Time since codes cleared", "injection time": times, but not the clock.
  if (/since|clear|\bmil\b|_mil_|warm|trip|inj|pulse|dwell|delay|fuel|shift|idle/i.test(fact.name)) score -= 0.5;
  if (score <= 0) return 0;
  if (fact.guesses.length > 0 && !fact.isClock) score -= 0.4;
  return score * forwardShare(fact.values);
}

/** Share of steps that go forward. */
function forwardShare(values: Float64Array): number {
  let steps = 0;
  let forward = 0;
  let last = Number.NaN;
  const n = Math.min(values.length, 20000);
  for (let i = 0; i < n; i++) {
    const value = values[i]!;
    if (Number.isNaN(value) || isTextCode(value)) continue;
    if (!Number.isNaN(last)) {
      steps++;
      if (value >= last) forward++;
    }
    last = value;
  }
  if (steps === 0) return n === 1 ? 1 : 0;
  return last === values[0] && steps > 3 ? 0 : forward / steps;
}

function scaleOf(fact: ColumnFacts, raw: Float64Array, repairs: string[]): number {
  if (fact.isClock) return 1;
  if (fact.unit !== undefined && fact.unit !== "unknown" && fact.unit.quantity === "time") {
    const stepS = typicalStep(raw) * fact.unit.scale;
    if (!(stepS > 100) && !(stepS < 1e-5)) return fact.unit.scale;
    const guess = unitOfTime(raw);
    repairs.push(`${fact.source}: steps of ${stepS.toPrecision(3)} s cannot be; taken as ${guess.unit}`);
    return guess.scale;
  }
  const guess = unitOfTime(raw);
  if (guess.unit !== "s" || !guess.isSure) repairs.push(`${fact.source}: no unit in the file; taken as ${guess.unit} from the size of its steps`);
  return guess.scale;
}

function withoutClock(
  facts: readonly ColumnFacts[],
  values: readonly Float64Array[],
  preamble: Readonly<Record<string, string>>,
  repairs: string[],
): FoundTime {
  const rows = values[0]!.length;
  const stated = statedRateHz(preamble);
  const counter = facts.find((fact) => SAMPLE_NAME.test(fact.name) && forwardShare(fact.values) > 0.99);
  const assumedS = stated === undefined ? assumedStepS(facts) : Number.NaN;
  const rateHz = stated?.rateHz ?? 1 / assumedS;
  if (stated !== undefined) repairs.push(`no time column: time counted from the rows at ${rateHz} a second, as "${stated.from}" says`);
  else
    repairs.push(`no time column and no rate in the file: a row every ${assumedS} s assumed; times, rates and delays of this recording are not to be trusted`);
  const raw =
    counter === undefined ? Float64Array.from({ length: rows }, (_, i) => i / rateHz) : withoutWords(values[counter.index]!).map((value) => value / rateHz);
  const base = makeTimeBase(raw, false);
  repairs.push(...base.repairs);
  return { column: counter?.index ?? -1, base };
}

/** A step for rows without any clock: the usual one, or longer where road speed would otherwise leap from row to row. */
function assumedStepS(facts: readonly ColumnFacts[]): number {
  const speed = facts.find((fact) => fact.guesses[0]?.signal === "vss");
  if (speed === undefined || speed.values.length < 20) return ASSUMED_STEP_S;
  const leaps = speed.values.subarray(1).map((value, i) => Math.abs(value - speed.values[i]!));
  return Math.max(ASSUMED_STEP_S, Number((quantile(leaps, 0.95) / BRISK_KMH_PER_S).toPrecision(1)) || 0);
}

function statedRateHz(preamble: Readonly<Record<string, string>>): { rateHz: number; from: string } | undefined {
  for (const [key, text] of Object.entries(preamble)) {
    const number = Number(/[\d]+(?:[.,]\d+)?/.exec(text)?.[0]?.replace(",", "."));
    if (!(number > 0)) continue;
    const from = `${key}: ${text}`;
    if (/(rate|frequency|frequenz|hz)/i.test(key) && /(hz|\/s|per s|^\s*[\d.,]+\s*$)/i.test(text)) return { rateHz: number, from };
    if (/(interval|period|step|sample time|spacing)/i.test(key)) return { rateHz: /ms|milli/i.test(text) ? 1000 / number : 1 / number, from };
  }
  return undefined;
}
