import { median } from "../../base/index.ts";
import { onClock } from "../recordings/index.ts";
import { alignmentSignals, quickSpread } from "./alignment.ts";
import { exhaustDelayS } from "./fuel-residual.ts";
import type { ExhaustAlignment, Observations } from "./observations.ts";
import { atFraction, firstOrderLag, movingMean } from "./smoothing.ts";

/** What shows whether the exhaust measurement was moved to the mixture it tells of. */
export interface AlignmentEvidence {
  readonly file: string;
  readonly alignment: ExhaustAlignment;
  /** Middle airflow of the running it was judged by [g/s], and the delay there with its 90 % interval [s]. */
  readonly flowGps: number;
  readonly delayS: number;
  readonly lowS: number;
  readonly highS: number;
  /** A few seconds in which the mixture swings, shape (m) each: asked for as the sensor's lag shows it, read as logged, and read moved back; ln lambda about its own mean of some seconds. */
  readonly window: { readonly timeS: Float64Array; readonly asked: Float64Array; readonly asLogged: Float64Array; readonly movedBack: Float64Array };
  /** What each delay would leave of the quick swing, as a share of lambda; the delay stands for that at the middle airflow. */
  readonly tried: { readonly delayS: Float64Array; readonly left: Float64Array };
  readonly leftAsLogged: number;
  readonly leftMovedBack: number;
}

const WINDOW_S = 10;
const WINDOW_STEP_S = 2;
const SWING_S = 2.5;
/** Delays from none to so many times the one in use. */
const MOST_TIMES = 3;
const TRIED = 31;

/** The evidence from one recording; undefined where no wide-range sensor was read, or too little of it. */
export function alignmentEvidence(o: Observations): AlignmentEvidence | undefined {
  const lambdaRaw = onClock(o.recording, "lambda", { timeS: o.timeS, dtS: o.dtS });
  const flowGps = o.meterGps.map((meter, i) => (meter > 0 ? meter : o.speedDensityGps[i]!));
  const { dtS, alignment, trimLn, lambdaTarget, rpm, steadiness } = o;
  const { commandLn, usable } = alignmentSignals({ dtS, lambdaRaw, lambdaTarget, trimLn, flowGps, rpm, steadiness });
  const lnReading = lambdaRaw.map((lambda, i) => (usable[i] === 1 ? Math.log(lambda) : Number.NaN));
  const spread = (times: number): number =>
    Math.sqrt(quickSpread({ dtS, lnReading, commandLn, flowGps }, { ...alignment, fixedS: times * alignment.fixedS, perFlowG: times * alignment.perFlowG }));
  const leftMovedBack = spread(1);
  const middleGps = median(flowGps.filter((flow, i) => usable[i] === 1 && flow > 0));
  if (!Number.isFinite(leftMovedBack) || Number.isNaN(middleGps)) return undefined;
  const asked = firstOrderLag(commandLn, alignment.lagS, dtS);
  const from = liveliest(asked, usable, dtS);
  if (from === undefined) return undefined;
  const to = from + Math.round(WINDOW_S / dtS);
  const swing = (ln: Float64Array): Float64Array => {
    const slow = movingMean(ln, Math.round(SWING_S / dtS));
    return ln.map((value, i) => value - slow[i]!).slice(from, to);
  };
  const delayS = exhaustDelayS(alignment, middleGps);
  const sdS = Math.hypot(alignment.fixedSdS, alignment.perFlowSdG / Math.max(middleGps, 1.5));
  const times = Float64Array.from({ length: TRIED }, (_, k) => (MOST_TIMES * k) / (TRIED - 1));
  return {
    file: o.recording.file,
    alignment,
    flowGps: middleGps,
    delayS,
    lowS: Math.max(0, delayS - 1.645 * sdS),
    highS: delayS + 1.645 * sdS,
    window: {
      timeS: o.timeS.slice(from, to),
      asked: swing(asked),
      asLogged: swing(lambdaRaw.map(Math.log)),
      movedBack: swing(lambdaRaw.map((_, i) => Math.log(atFraction(lambdaRaw, i + exhaustDelayS(alignment, flowGps[i]!) / dtS)))),
    },
    tried: { delayS: times.map((share) => share * delayS), left: times.map(spread) },
    leftAsLogged: spread(0),
    leftMovedBack,
  };
}

/** First sample of the window in which what was asked for swings most, nearly all of it usable; undefined when there is none. */
function liveliest(asked: Float64Array, usable: Float64Array, dtS: number): number | undefined {
  const length = Math.round(WINDOW_S / dtS);
  const slow = movingMean(asked, Math.round(SWING_S / dtS));
  let best: { from: number; swing: number } | undefined;
  for (let from = 0; from + length <= asked.length; from += Math.max(1, Math.round(WINDOW_STEP_S / dtS))) {
    let swing = 0;
    let count = 0;
    for (let i = from; i < from + length; i++) {
      if (usable[i] !== 1 || Number.isNaN(asked[i]!)) continue;
      swing += Math.min((asked[i]! - slow[i]!) ** 2, 0.01);
      count++;
    }
    if (count >= 0.95 * length && swing > (best?.swing ?? 0)) best = { from, swing };
  }
  return best?.from;
}

/** The evidence in one sentence or two, for below its picture. */
export function alignmentSentence({ alignment, flowGps, delayS, lowS, highS, leftAsLogged, leftMovedBack }: AlignmentEvidence): string {
  const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
  const found =
    alignment.source === "estimated"
      ? `Found from this recording: the reading comes ${delayS.toFixed(2)} s after the mixture at ${flowGps.toFixed(0)} g/s (90 % interval ${lowS.toFixed(2)} to ${highS.toFixed(2)} s), with a sensor lag of ${alignment.lagS.toFixed(2)} s.`
      : `The recording moves too little to tell: a usual delay is taken, ${delayS.toFixed(2)} s at ${flowGps.toFixed(0)} g/s, with a sensor lag of ${alignment.lagS.toFixed(2)} s.`;
  const verdict =
    leftMovedBack < leftAsLogged
      ? `Moved back by it, the mixture measured follows the one asked for: in their quick changes they differ by ${percent(leftMovedBack)}, as logged by ${percent(leftAsLogged)}.`
      : `In their quick changes mixture measured and asked for differ by ${percent(leftMovedBack)} moved back and by ${percent(leftAsLogged)} as logged: here the alignment brings nothing.`;
  return `${found} ${verdict}`;
}
