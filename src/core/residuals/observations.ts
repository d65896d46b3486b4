import type { Moment } from "../moments/index.ts";
import type { Recording } from "../recordings/index.ts";

/**
 * One recording as the controller lived it: every channel on one uniform clock, delays taken out, and beside what was
 * measured what the controller computed from its own tables. All arrays have shape (n); NaN is "not known here".
 */
export interface Observations {
  readonly recording: Recording;
  readonly n: number;
  /** Grid spacing [s]; `timeS[i] = timeS[0] + i · dtS`, on the recording's own clock. */
  readonly dtS: number;
  readonly timeS: Float64Array;
  readonly moments: readonly Moment[];

  readonly rpm: Float64Array;
  readonly mapKpa: Float64Array;
  readonly baroKpa: Float64Array;
  readonly iatC: Float64Array;
  readonly ectC: Float64Array;
  readonly throttlePercent: Float64Array;
  readonly pedalPercent: Float64Array;
  readonly batteryV: Float64Array;
  readonly injMs: Float64Array;
  readonly vssKmh: Float64Array;
  readonly sparkDeg: Float64Array;
  readonly knockRetardDeg: Float64Array;
  readonly mafHz: Float64Array;
  /** Airflow that the meter reports [g/s]: as logged, or from its frequency through the curve. */
  readonly meterGps: Float64Array;
  readonly idleAirTargetGps: Float64Array;
  readonly idleAirAdaptGps: Float64Array;
  readonly idleTargetRpm: Float64Array;
  /** 1 closed loop, 0 open loop. */
  readonly closedLoop: Float64Array;
  /** Lambda of the mixture made at this instant: measured value moved back by delay and lag. */
  readonly lambda: Float64Array;
  readonly lambdaTarget: Float64Array;
  /** ln(1 + STFT) + ln(1 + LTFT) of the wideband's bank, or the mean of the banks. */
  readonly trimLn: Float64Array;
  readonly trim1Ln: Float64Array;
  readonly trim2Ln: Float64Array;

  /** Charge temperature by the controller's own blend [K]. */
  readonly chargeK: Float64Array;
  /** VE that the controller's table gives here [fraction]. */
  readonly tableVeFraction: Float64Array;
  /** Airflow by speed and density with the controller's table [g/s]. */
  readonly speedDensityGps: Float64Array;
  /** Airflow that the controller used for fuel: below the switch speed speed-density, above the meter [g/s]. */
  readonly controllerGps: Float64Array;
  /** 1 where the controller used the meter's air, 0 where speed-density; NaN unknown. */
  readonly usesMeter: Float64Array;

  /** ln(λ/λ_target) + trims: real air over real fuel against what the controller assumed. */
  readonly fuelResidual: Float64Array;
  /** ln(meter air / speed-density air), manifold filling taken out. */
  readonly modelResidual: Float64Array;
  /** Measured airflow − commanded idle airflow [g/s], only in settled idle. */
  readonly idleResidualGps: Float64Array;
  /** How much a sample counts, 0–1: steadiness of speed, pressure, throttle and fuel; 0 in cranking, fuel cut, shifts. */
  readonly steadiness: Float64Array;
  /** Independent samples per sample, by autocorrelation of the fuel and model residuals. */
  readonly effectiveShare: number;

  readonly alignment: ExhaustAlignment;
  /** What could not be computed and which signal or table it lacked. */
  readonly couldNot: readonly string[];
}

/** Delay of the exhaust measurement, τ = a + b / flow, and the sensor's first-order lag, with how sure each is. */
export interface ExhaustAlignment {
  readonly fixedS: number;
  readonly perFlowG: number;
  readonly lagS: number;
  readonly fixedSdS: number;
  readonly perFlowSdG: number;
  readonly lagSdS: number;
  /** "estimated" from this recording, or "handbook" when it moved too little. */
  readonly source: "estimated" | "handbook";
}
