/** An idle counts as settled once it has kept its speed, with the pedal up and the vehicle standing, for this long [s]. */
const SETTLED_S = 2;
const STEADY_FROM = 0.3;

export interface IdleSignals {
  readonly rpm: Float64Array;
  readonly vssKmh: Float64Array;
  readonly pedalPercent: Float64Array;
  readonly idleTargetRpm: Float64Array;
  readonly steadiness: Float64Array;
  readonly dtS: number;
}

/** 1 where the engine has settled at idle, shape (n). A missing road speed or pedal counts as standing and up. */
export function settledIdle(signals: IdleSignals): Uint8Array {
  const { rpm, vssKmh, pedalPercent, idleTargetRpm, steadiness, dtS } = signals;
  const settled = new Uint8Array(rpm.length);
  let settledFor = 0;
  for (let i = 0; i < rpm.length; i++) {
    const standing = !(vssKmh[i]! > 2) && !(pedalPercent[i]! > 1);
    const target = idleTargetRpm[i]!;
    const atSpeed = Number.isNaN(target) ? rpm[i]! > 450 && rpm[i]! < 1200 : Math.abs(rpm[i]! - target) < Math.max(80, 0.1 * target);
    settledFor = standing && atSpeed && steadiness[i]! > STEADY_FROM ? settledFor + dtS : 0;
    settled[i] = settledFor >= SETTLED_S ? 1 : 0;
  }
  return settled;
}

/** Measured less commanded idle airflow [g/s] where the engine has settled at idle; NaN elsewhere. Shape (n). */
export function idleResidualGps(
  signals: IdleSignals & { readonly meterGps: Float64Array; readonly speedDensityGps: Float64Array; readonly idleAirTargetGps: Float64Array },
): Float64Array {
  const settled = settledIdle(signals);
  return signals.meterGps.map((meter, i) => {
    const measured = meter > 0 ? meter : signals.speedDensityGps[i]!;
    return settled[i] === 1 ? measured - signals.idleAirTargetGps[i]! : Number.NaN;
  });
}
