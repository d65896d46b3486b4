import { median } from "../../base/index.ts";
import { controllerAir, meterFrequencyHz, switchSpeedRpm } from "../controller/index.ts";
import type { CorrectionProposal } from "../corrections/index.ts";
import type { PullAnalysis } from "../pulls/index.ts";
import type { Recording } from "../recordings/index.ts";
import { observe } from "../residuals/index.ts";
import type { Finding, Intake } from "../result/index.ts";
import { type Calibration, calibrationOf, lookUpCurve } from "../tables/index.ts";

/** A warm engine's coolant, where a sweep did not record it [°C]. Common practice, no published source. */
const WARM_ECT_C = 90;
/** Lean that is left below this counts as explained (ln). @source RT-04, CA-15 */
const EXPLAINED_LN = 0.03;
const LEAN = "pull.lean-at-load";

export interface LeanSweeps {
  readonly pulls: readonly Recording[];
  readonly analyses: readonly PullAnalysis[];
  readonly calibration: Calibration | undefined;
  readonly intake: Intake;
  /** What the calibration asks for at full load, by engine speed. */
  readonly fullLoadLambda: ((rpm: number) => number) | undefined;
}

/**
 * A lean sweep and a wrong air table are often one and the same: says of the finding what the proposed air tables would leave of it at the instants that
 * were seen. Findings come back as they are where the sweeps do not hold enough, or nothing is proposed for the air.
 */
export function withLeanExplained(findings: readonly Finding[], sweeps: LeanSweeps, proposals: readonly CorrectionProposal[]): readonly Finding[] {
  if (!findings.some(({ check }) => check === LEAN)) return findings;
  const told = leanLeft(sweeps, proposals);
  if (told === undefined) return findings;
  const isExplained = Math.abs(told.leftLn) < EXPLAINED_LN;
  const line =
    `With the proposed air tables the controller would have given ${percent(told.leanLn - told.leftLn)} more fuel at these instants: instead of ${percent(told.leanLn)} ` +
    `lean the mixture would have been ${percent(told.leftLn)} ${told.leftLn > 0 ? "leaner" : "richer"} than asked`;
  return findings.map((finding) =>
    finding.check === LEAN
      ? {
          ...finding,
          because: [...finding.because, line],
          do: isExplained
            ? "No further pull on these tables. The proposed air tables explain it: bring them in, check fuel pressure at load, then one careful pull, lifting at once where lambda is leaner than asked."
            : `${finding.do} The proposed air tables do not explain all of it.`,
        }
      : finding,
  );
}

/** How lean the sweeps were where they were lean, and what the proposed tables leave of it (ln, medians over the instants). */
export function leanLeft(
  { pulls, analyses, calibration: before, intake, fullLoadLambda }: LeanSweeps,
  proposals: readonly CorrectionProposal[],
): { readonly leanLn: number; readonly leftLn: number } | undefined {
  const free = proposals.filter(({ role, heldBecause }) => heldBecause === undefined && (role === "air.ve" || role === "air.meter-curve"));
  if (before === undefined || fullLoadLambda === undefined || free.length === 0) return undefined;
  const after = calibrationOf(before.tables.map((table) => free.find(({ role }) => role === table.role)?.after ?? table));
  const lean: number[] = [];
  const left: number[] = [];
  for (const pull of pulls) {
    const spans = analyses.find(({ file }) => file === pull.file)?.events.filter(({ check }) => check === LEAN) ?? [];
    if (spans.length === 0) continue;
    const seen = observe(pull, before, intake);
    for (let i = 0; i < seen.n; i++) {
      if (!spans.some(({ fromS, toS }) => seen.timeS[i]! >= fromS && seen.timeS[i]! <= toS)) continue;
      const leanLn = Math.log(seen.lambda[i]! / fullLoadLambda(seen.rpm[i]!));
      const moreLn = moreFuelLn(before, after, intake, {
        rpm: seen.rpm[i]!,
        mapKpa: seen.mapKpa[i]!,
        iatC: seen.iatC[i]!,
        ectC: Number.isNaN(seen.ectC[i]!) ? WARM_ECT_C : seen.ectC[i]!,
      });
      if (!Number.isFinite(leanLn + moreLn)) continue;
      lean.push(leanLn);
      left.push(leanLn - moreLn);
    }
  }
  return lean.length === 0 ? undefined : { leanLn: median(lean), leftLn: median(left) };
}

/**
 * ln of the air that the controller would reckon with other tables over what it reckoned. The meter's frequency is rarely recorded in a sweep: it is the one at
 * which the new curve gives the air of the new VE table; outside the curve nothing is said.
 */
function moreFuelLn(before: Calibration, after: Calibration, intake: Intake, at: { rpm: number; mapKpa: number; iatC: number; ectC: number }): number {
  const reckoned = (tables: Calibration): number => controllerAir(tables, intake.engine, { ...at, meterGps: Number.NaN, usesMeter: 0 }).speedDensityGps;
  const airGps = reckoned(after);
  const switchRpm = switchSpeedRpm(before, intake.sensors?.airMeterFitted !== false && before.byRole["air.meter-curve"] !== undefined);
  const usesMeter = Number.isNaN(switchRpm) || switchRpm === 0 || at.rpm > switchRpm;
  if (!usesMeter) return Math.log(airGps / reckoned(before));
  const [old, renewed] = [before.byRole["air.meter-curve"], after.byRole["air.meter-curve"]];
  if (old === undefined || renewed === undefined) return Number.NaN;
  const hz = meterFrequencyHz(renewed, airGps);
  return Math.log(lookUpCurve(renewed, hz) / lookUpCurve(old, hz));
}

function percent(ln: number): string {
  return `${(100 * Math.expm1(Math.abs(ln))).toFixed(1)} %`;
}
