import { mean } from "../../base/index.ts";
import { studentTQuantile } from "../statistics/index.ts";
import type { PullAnalysis } from "./analyse.ts";
import type { PullCurve } from "./curve.ts";

/** How far the sweeps of one revision lie apart. */
export interface Repeatability {
  readonly sweeps: number;
  readonly meanPowerKw: number;
  readonly meanTorqueNm: number;
  /** Standard deviation from sweep to sweep [% of the mean]; NaN with one sweep. */
  readonly powerSdPercent: number;
  readonly torqueSdPercent: number;
  /** Standard deviation of the level of the whole curve over the speeds that all sweeps cover [%]. */
  readonly levelSdPercent: number;
  /** Change from one sweep to the next [% a sweep] and whether it is more than scatter: heat soak. */
  readonly driftPercent: number;
  readonly isDrifting: boolean;
  /** Difference that as many sweeps of another revision would show in nine cases of ten [%]. */
  readonly visiblePercent: number;
  readonly summary: string;
}

export type GainVerdict = "real gain" | "real loss" | "not distinguishable";

/** Difference between two revisions in one measure, with its 95 % interval. */
export interface Gain {
  readonly measure: "curve" | "peak power" | "peak torque";
  readonly differencePercent: number;
  readonly lowPercent: number;
  readonly highPercent: number;
  readonly verdict: GainVerdict;
}

export interface RevisionComparison {
  /** Verdict on the whole curve over the common speeds: the measure that run-to-run scatter blurs least. */
  readonly verdict: GainVerdict;
  readonly gains: readonly Gain[];
  readonly fromRpm: number;
  readonly toRpm: number;
  /** Torque of the later over the earlier revision, by engine speed, with pointwise 95 % intervals [%]. */
  readonly byRpm: readonly { readonly rpm: number; readonly differencePercent: number; readonly lowPercent: number; readonly highPercent: number }[];
  readonly remarks: readonly string[];
  readonly summary: string;
}

/** Two-sided risk of calling scatter a gain: lower than the tenth that is allowed, because several figures are looked at. */
const RISK = 0.05;

interface Usable {
  readonly file: string;
  readonly curve: PullCurve;
  readonly powerKw: number;
  readonly torqueNm: number;
  readonly standard: string;
}

/** "sweep-10" was made after "sweep-9". */
const IN_ORDER = new Intl.Collator("en", { numeric: true }).compare;

function usable(sweeps: readonly PullAnalysis[]): Usable[] {
  return sweeps
    .flatMap(({ file, curve, result }) =>
      curve && result ? [{ file, curve, powerKw: result.peakPowerKw, torqueNm: result.peakTorqueNm, standard: result.standard }] : [],
    )
    .sort((a, b) => IN_ORDER(a.file, b.file));
}

/** Even engine speeds that every curve covers. */
function commonSpeeds(curves: readonly PullCurve[]): readonly number[] {
  const first = curves[0];
  if (first === undefined) return [];
  const known = curves.map((curve) => new Map(Array.from(curve.rpm, (n, i) => [n, curve.torqueNm[i]!])));
  return [...first.rpm].filter((n) => known.every((torque) => torque.get(n)! > 0));
}

const torqueAt = (curve: PullCurve, rpm: number): number => curve.torqueNm[curve.rpm.indexOf(rpm)]!;
const levelLn = (curve: PullCurve, speeds: readonly number[]): number => mean(speeds.map((n) => Math.log(torqueAt(curve, n))));
const lns = (values: readonly number[]): number[] => values.map((v) => Math.log(v));
const percent = (ln: number): number => 100 * Math.expm1(ln);

function varianceOf(values: readonly number[]): number {
  const centre = mean(values);
  return values.reduce((sum, v) => sum + (v - centre) ** 2, 0) / (values.length - 1);
}

/** Spread of the sweeps of one revision, drift through them, and what difference they could show. */
export function repeatability(sweeps: readonly PullAnalysis[]): Repeatability {
  const used = usable(sweeps);
  const speeds = commonSpeeds(used.map((sweep) => sweep.curve));
  const levels = used.map((sweep) => levelLn(sweep.curve, speeds));
  const sdPercent = (values: readonly number[]): number => (values.length < 2 ? Number.NaN : 100 * Math.sqrt(varianceOf(values)));
  const drift = driftOf(levels);
  const levelSdPercent = sdPercent(levels);
  const n = used.length;
  const visiblePercent = n < 2 ? Number.NaN : visibleOf(levels);
  return {
    sweeps: n,
    meanPowerKw: mean(used.map((sweep) => sweep.powerKw)),
    meanTorqueNm: mean(used.map((sweep) => sweep.torqueNm)),
    powerSdPercent: sdPercent(lns(used.map((sweep) => sweep.powerKw))),
    torqueSdPercent: sdPercent(lns(used.map((sweep) => sweep.torqueNm))),
    levelSdPercent,
    driftPercent: percent(drift.slope),
    isDrifting: drift.isReal,
    visiblePercent,
    summary:
      n < 2
        ? "One sweep tells nothing of scatter: make at least three."
        : `${n} sweeps, curve level ± ${levelSdPercent.toFixed(2)} % from sweep to sweep; as many of another revision would show a difference of ${visiblePercent.toFixed(1)} %` +
          (drift.isReal
            ? `; each sweep ${Math.abs(percent(drift.slope)).toFixed(1)} % ${drift.slope < 0 ? "lower" : "higher"} than the one before: let it cool alike before each`
            : ""),
  };
}

/** Difference [%] to as many sweeps of like scatter that is called real in nine cases of ten. */
function visibleOf(levels: Series): number {
  const { sd, freedom } = scatterWithin([levels, levels]);
  return 100 * sd * Math.sqrt(2 / levels.length) * (studentTQuantile(1 - RISK / 2, freedom) + studentTQuantile(0.9, freedom));
}

/** Slope of the levels over their order, real where its 95 % interval leaves zero out. */
function driftOf(levels: readonly number[]): { readonly slope: number; readonly isReal: boolean } {
  const n = levels.length;
  if (n < 3) return { slope: n === 2 ? levels[1]! - levels[0]! : Number.NaN, isReal: false };
  const centre = (n - 1) / 2;
  const square = levels.reduce((sum, _, i) => sum + (i - centre) ** 2, 0);
  const slope = levels.reduce((sum, y, i) => sum + (i - centre) * y, 0) / square;
  const level = mean(levels);
  const rest = levels.reduce((sum, y, i) => sum + (y - level - slope * (i - centre)) ** 2, 0);
  const sd = Math.sqrt(rest / (n - 2) / square);
  return { slope, isReal: Math.abs(slope) > studentTQuantile(1 - RISK / 2, n - 2) * sd };
}

interface Interval {
  readonly difference: number;
  readonly low: number;
  readonly high: number;
}

/**
 * What is known of sweep-to-sweep scatter before the first sweep: half a percent on a warm, well-tied vehicle, and worth as much as four
 * degrees of freedom. A handful of sweeps tells its own scatter badly; two that happen to agree would prove anything without this.
 * Common practice, no published source.
 */
const USUAL_SCATTER = 0.005;
const USUAL_FREEDOM = 4;
/** Sweeps that scatter by more than this multiple of what is usual are not usual, and speak for themselves alone [variance]. */
const UNUSUAL = 3;

/** Logarithms of one measure, in the order of the sweeps. */
type Series = readonly number[];

interface Scatter {
  /** Change from one sweep to the next that both revisions share: heat soak. */
  readonly slope: number;
  readonly sd: number;
  readonly freedom: number;
  /** Sum of squared places about their own means. */
  readonly square: number;
}

/** Scatter within revisions, a drift through the sweeps that they share taken out where there are enough of them to tell. */
function scatterWithin(revisions: readonly Series[]): Scatter {
  const parts = revisions.map((levels) => {
    const [level, centre] = [mean(levels), (levels.length - 1) / 2];
    return levels.map((y, i) => ({ x: i - centre, y: y - level }));
  });
  const all = parts.flat();
  const square = all.reduce((sum, { x }) => sum + x * x, 0);
  const hasDrift = revisions.every((levels) => levels.length >= 3);
  const slope = hasDrift ? all.reduce((sum, { x, y }) => sum + x * y, 0) / square : 0;
  const rest = all.reduce((sum, { x, y }) => sum + (y - slope * x) ** 2, 0);
  const seen = all.length - revisions.length - (hasDrift ? 1 : 0);
  const prior = rest > seen * UNUSUAL * USUAL_SCATTER ** 2 ? 0 : USUAL_FREEDOM;
  const freedom = prior + seen;
  return { slope, sd: Math.sqrt((prior * USUAL_SCATTER ** 2 + rest) / freedom), freedom, square };
}

/**
 * Difference of two revisions at equal places in their series, second minus first, with its interval: one scatter for both, since
 * vehicle and bench are the same, moderated by what is usual.
 *
 * @source smyth-2004 (from memory)
 */
function differenceOf(before: Series, after: Series): Interval {
  const { slope, sd, freedom, square } = scatterWithin([before, after]);
  const apart = (after.length - before.length) / 2;
  const difference = mean(after) - mean(before) - slope * apart;
  const shared = slope === 0 ? 0 : apart ** 2 / square;
  const reach = studentTQuantile(1 - RISK / 2, freedom) * sd * Math.sqrt(1 / before.length + 1 / after.length + shared);
  return { difference, low: difference - reach, high: difference + reach };
}

function gainOf(measure: Gain["measure"], before: Series, after: Series): Gain {
  const { difference, low, high } = differenceOf(before, after);
  return {
    measure,
    differencePercent: percent(difference),
    lowPercent: percent(low),
    highPercent: percent(high),
    verdict: low > 0 ? "real gain" : high < 0 ? "real loss" : "not distinguishable",
  };
}

/**
 * Is the difference between two revisions real or run-to-run scatter? Sweeps are the sample, not their rows: the scatter from sweep to
 * sweep sets the interval, and a drift through them that both share is taken out. Needs two sweeps of each revision; with fewer the
 * verdict is "not distinguishable" and says why.
 */
export function compareRevisions(before: readonly PullAnalysis[], after: readonly PullAnalysis[]): RevisionComparison {
  const [a, b] = [usable(before), usable(after)];
  const speeds = commonSpeeds([...a, ...b].map((sweep) => sweep.curve));
  const remarks = comparisonRemarks(a, b);
  if (a.length < 2 || b.length < 2 || speeds.length < 5) {
    const why =
      speeds.length < 5
        ? "the sweeps have no engine speeds in common"
        : `${a.length} and ${b.length} sweeps: at least two of each are needed to know the scatter`;
    return { verdict: "not distinguishable", gains: [], fromRpm: Number.NaN, toRpm: Number.NaN, byRpm: [], remarks, summary: `Not distinguishable: ${why}.` };
  }
  const levels = (sweeps: readonly Usable[]): number[] => sweeps.map((sweep) => levelLn(sweep.curve, speeds));
  const curve = gainOf("curve", levels(a), levels(b));
  const of = (sweeps: readonly Usable[], key: "powerKw" | "torqueNm"): number[] => lns(sweeps.map((sweep) => sweep[key]));
  const gains = [curve, gainOf("peak power", of(a, "powerKw"), of(b, "powerKw")), gainOf("peak torque", of(a, "torqueNm"), of(b, "torqueNm"))];
  const at = (sweeps: readonly Usable[], n: number): number[] => sweeps.map((sweep) => Math.log(torqueAt(sweep.curve, n)));
  const byRpm = speeds.map((rpm) => {
    const { difference, low, high } = differenceOf(at(a, rpm), at(b, rpm));
    return { rpm, differencePercent: percent(difference), lowPercent: percent(low), highPercent: percent(high) };
  });
  const [fromRpm, toRpm] = [speeds[0]!, speeds.at(-1)!];
  return { verdict: curve.verdict, gains, fromRpm, toRpm, byRpm, remarks, summary: summaryOf(curve, fromRpm, toRpm) };
}

function summaryOf(curve: Gain, fromRpm: number, toRpm: number): string {
  const signed = (value: number): string => `${value > 0 ? "+" : ""}${value.toFixed(1)} %`;
  const figures = `${signed(curve.differencePercent)} over ${fromRpm} to ${toRpm} rpm (95 %: ${signed(curve.lowPercent)} to ${signed(curve.highPercent)})`;
  return curve.verdict === "not distinguishable" ? `Not distinguishable from run-to-run scatter: ${figures}.` : `A ${curve.verdict}: ${figures}.`;
}

function comparisonRemarks(a: readonly Usable[], b: readonly Usable[]): string[] {
  const remarks: string[] = [];
  if (new Set([...a, ...b].map((sweep) => sweep.standard)).size > 1) remarks.push("the sweeps are corrected by different standards: compare like with like");
  return remarks;
}
