import { channelValues, type Recording } from "../../recordings/index.ts";
import type { Intake } from "../../result/index.ts";
import type { SignalId } from "../../units/index.ts";
import type { SweepSamples } from "../samples.ts";
import { fillBetween } from "../series.ts";
import type { SweepSpan } from "../span.ts";

/** What the watchers of a sweep look at. Arrays on the rows of the samples. */
export interface SweepSignals {
  readonly timeS: Float64Array;
  readonly rpm: Float64Array;
  /** 1 at full load with the tip-in behind. */
  readonly counts: Uint8Array;
  readonly settledS: number;
  readonly isBoosted: boolean;
  readonly ambientKpa: number | undefined;
  /** Lambda that the calibration asks for at full load, where it is known. */
  readonly fullLoadLambda?: (rpm: number) => number;
  signal(id: SignalId): Float64Array | undefined;
}

/** Something seen in a sweep that a person must know, with time and speed. */
export interface SweepEvent {
  readonly check: string;
  readonly fromS: number;
  readonly toS: number;
  readonly rpm: number;
  /** Its size in the check's own unit, and whether it alone ends the pull. */
  readonly size: number;
  readonly isStop: boolean;
  readonly text: string;
}

/** Gathers the signals of a sweep on the samples' rows. */
export function signalsOfSweep(
  recording: Recording,
  samples: SweepSamples,
  span: SweepSpan,
  known: { readonly intake: Intake; readonly ambientKpa: number | undefined; readonly fullLoadLambda?: (rpm: number) => number },
): SweepSignals {
  return {
    timeS: samples.timeS,
    rpm: samples.rpm,
    counts: span.counts,
    settledS: samples.timeS[span.settledFrom]!,
    isBoosted: known.intake.engine.boosted === true,
    ambientKpa: known.ambientKpa,
    fullLoadLambda: known.fullLoadLambda,
    signal: (id) => {
      const values = channelValues(recording, id);
      return values === undefined ? undefined : fillBetween(recording.timeS, values, samples.timeS);
    },
  };
}

/** A run of rows in which something held. */
export interface Run {
  readonly from: number;
  readonly to: number;
  readonly fromS: number;
  readonly toS: number;
  /** Row of the largest value. */
  readonly worst: number;
}

/** Runs of counted rows where `excess` is above 0 for at least `leastS`, gaps up to `bridgeS` bridged. */
export function runsAbove(
  signals: SweepSignals,
  excess: Float64Array,
  time: { readonly leastS: number; readonly bridgeS?: number; readonly afterS?: number },
): Run[] {
  const { timeS, counts } = signals;
  const beginS = signals.settledS + (time.afterS ?? 0);
  const runs: { from: number; to: number; worst: number }[] = [];
  for (let i = 0; i < timeS.length; i++) {
    if (counts[i] !== 1 || timeS[i]! < beginS || !(excess[i]! > 0)) continue;
    const last = runs.at(-1);
    if (last !== undefined && (last.to === i - 1 || timeS[i]! - timeS[last.to]! <= (time.bridgeS ?? 0.1))) {
      last.to = i;
      if (excess[i]! > excess[last.worst]!) last.worst = i;
    } else runs.push({ from: i, to: i, worst: i });
  }
  return runs.map((run) => ({ ...run, fromS: timeS[run.from]!, toS: timeS[run.to]! })).filter((run) => run.toS - run.fromS >= time.leastS - 1e-9);
}

/** "at 3.20 s and 4150 rpm" */
export function whereInWords(atS: number, rpm: number): string {
  return `at ${atS.toFixed(2)} s and ${rpm.toFixed(0)} rpm`;
}
