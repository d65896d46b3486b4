import { lastAtMost } from "../base/index.ts";
import { injectorDutyFraction } from "../core/physics/index.ts";
import type { PullAnalysis } from "../core/pulls/index.ts";
import { channelValues, type Recording } from "../core/recordings/index.ts";
import type { SignalId } from "../core/units/index.ts";
import { alongSpeed, type SweepDetail } from "../report/index.ts";

/** A sweep as it is drawn: its curve, and the signals recorded with it on the curve's engine speeds. Nothing where it has no curve. */
export function sweepDetail(pull: PullAnalysis, recording: Recording | undefined, fullLoadLambda: ((rpm: number) => number) | undefined): SweepDetail[] {
  const { curve, samples, span } = pull;
  if (curve === undefined) return [];
  const along = (of: (rows: Recording, rpm: Float64Array) => ArrayLike<number> | undefined): Float64Array | undefined => {
    if (recording === undefined || samples === undefined || span === undefined) return undefined;
    // The samples may stand closer or wider than the rows of the file: each row is counted where the nearest sample was.
    const nearest = Float64Array.from(recording.timeS, (at) => Math.max(0, lastAtMost(samples.timeS, at)));
    const rpm = nearest.map((i) => samples.rpm[i]!);
    const values = of(recording, rpm);
    return values === undefined ? undefined : alongSpeed(curve.rpm, { rpm, values, counts: nearest.map((i) => span.counts[i]!) });
  };
  const signal = (id: SignalId): Float64Array | undefined => along((rows) => channelValues(rows, id));
  return [
    {
      file: pull.file,
      rpm: curve.rpm,
      powerKw: curve.powerKw,
      torqueNm: curve.torqueNm,
      lambda: signal("lambda"),
      lambdaTarget: signal("lambdaTarget") ?? (fullLoadLambda && curve.rpm.map(fullLoadLambda)),
      knockRetardDeg: signal("knockRetard"),
      sparkDeg: signal("spark"),
      mapKpa: signal("map"),
      mapTargetKpa: signal("mapTarget"),
      injectorDutyPercent: along((rows, rpm) => channelValues(rows, "injMs")?.map((ms, i) => 100 * injectorDutyFraction(ms, rpm[i]!))),
      slipRpm: signal("slip") ?? along((rows, rpm) => channelValues(rows, "turbineRpm")?.map((turbine, i) => rpm[i]! - turbine)),
      intakeAirC: signal("iat"),
    },
  ];
}
