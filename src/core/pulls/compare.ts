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

function usable(sweeps: readonly PullAnalysis[]): Usable[] {
  return sweeps.flatMap(({ file, curve, result }) =>
    curve && result ? [{ file, curve, powerKw: result.peakPowerKw, torqueNm: result.peakTorqueNm, standard: result.standard }] : [],
  );
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
  const visiblePercent =
    n < 2 ? Number.NaN : levelSdPercent * Math.sqrt(2 / n) * (studentTQuantile(1 - RISK / 2, 2 * n - 2) + studentTQuantile(0.9, 2 * n - 2));
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

/** Difference of two means of unlike spread, second minus first. @source welch-1947 (from memory) */
function welch(before: readonly number[], after: readonly number[]): Interval {
  const [a, b] = [varianceOf(before) / before.length, varianceOf(after) / after.length];
  const difference = mean(after) - mean(before);
  if (!(a + b > 0)) return { difference, low: difference, high: difference };
  const freedom = (a + b) ** 2 / (a ** 2 / (before.length - 1) + b ** 2 / (after.length - 1));
  const reach = studentTQuantile(1 - RISK / 2, freedom) * Math.sqrt(a + b);
  return { difference, low: difference - reach, high: difference + reach };
}

function gainOf(measure: Gain["measure"], before: readonly number[], after: readonly number[]): Gain {
  const { difference, low, high } = welch(before, after);
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
 * sweep sets the interval. Needs two sweeps of each revision; with fewer the verdict is "not distinguishable" and says why.
 *
 * @source welch-1947 (from memory)
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
    const { difference, low, high } = welch(at(a, rpm), at(b, rpm));
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
