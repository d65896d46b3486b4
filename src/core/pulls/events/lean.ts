import { runsAbove, type SweepEvent, type SweepSignals, whereInWords } from "./signals.ts";

/** Time after the tip-in before lambda speaks of full load [s]: wall film, exhaust delay and sensor lag have then passed. */
const SETTLED_AFTER_S = 1;
/** Shares by which lambda may lie leaner than its target. @source RT-04, CA-15 */
const WATCH_ABOVE = 0.03;
const STOP_ABOVE = 0.05;
/** Lambda that nobody wants leaner at full load where no target is known. @source RT-02, RT-03 */
const LEAN_NATURAL = 0.92;
const LEAN_BOOSTED = 0.88;

/** Full-load lambda leaner than its target; without a target, leaner than the trade's limit. */
export function leanAtLoad(signals: SweepSignals): SweepEvent[] {
  const lambda = signals.signal("lambda");
  if (lambda === undefined) return [];
  const recorded = signals.signal("lambdaTarget");
  const { fullLoadLambda } = signals;
  const target = recorded ?? (fullLoadLambda === undefined ? undefined : signals.rpm.map((n) => fullLoadLambda(n)));
  return target === undefined ? leanWithoutTarget(signals, lambda) : leanAgainst(signals, lambda, target, recorded !== undefined);
}

function leanAgainst(signals: SweepSignals, lambda: Float64Array, target: Float64Array, isRecorded: boolean): SweepEvent[] {
  const excess = lambda.map((value, i) => value / target[i]! - 1 - WATCH_ABOVE);
  return runsAbove(signals, excess, { leastS: 0.3, bridgeS: 0.3, afterS: SETTLED_AFTER_S }).map((run) => {
    const size = excess[run.worst]! + WATCH_ABOVE;
    const of = isRecorded ? "its target" : "the full-load table";
    return {
      check: "pull.lean-at-load",
      ...run,
      rpm: signals.rpm[run.worst]!,
      size,
      isStop: size > (signals.isBoosted ? WATCH_ABOVE : STOP_ABOVE),
      text:
        `lambda ${lambda[run.worst]!.toFixed(3)} against ${target[run.worst]!.toFixed(3)} of ${of}, ${(100 * size).toFixed(1)} % lean ` +
        `${whereInWords(signals.timeS[run.worst]!, signals.rpm[run.worst]!)}, for ${(run.toS - run.fromS).toFixed(1)} s`,
    };
  });
}

function leanWithoutTarget(signals: SweepSignals, lambda: Float64Array): SweepEvent[] {
  const limit = signals.isBoosted ? LEAN_BOOSTED : LEAN_NATURAL;
  const excess = lambda.map((value) => value / limit - 1);
  return runsAbove(signals, excess, { leastS: 0.5, bridgeS: 0.3, afterS: SETTLED_AFTER_S }).map((run) => ({
    check: "pull.lean-at-load",
    ...run,
    rpm: signals.rpm[run.worst]!,
    size: excess[run.worst]!,
    isStop: signals.isBoosted || excess[run.worst]! > STOP_ABOVE,
    text:
      `lambda ${lambda[run.worst]!.toFixed(3)}, leaner than ${limit} ${whereInWords(signals.timeS[run.worst]!, signals.rpm[run.worst]!)}, ` +
      `for ${(run.toS - run.fromS).toFixed(1)} s; no target is recorded`,
  }));
}
