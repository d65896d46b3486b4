import { robustSd } from "../../statistics/index.ts";
import type { InjectorSamples } from "./injector-samples.ts";

/**
 * What honestly imperfect air tables may add to the residuals while injectors are weighed: smooth bumps over speed and load for VE, over
 * airflow for the meter's curve, each with a level, and a cold engine. Row i of `onFuel` and `onModel` holds what one unit of each adds at sample i.
 */
export interface AirError {
  readonly width: number;
  /** Prior deviation of each size (ln). */
  readonly sds: readonly number[];
  readonly onFuel: Float64Array;
  readonly onModel: Float64Array;
}

const SPEEDS_RPM = [700, 1150, 1900, 3100, 5000];
const LOADS = [0.3, 0.5, 0.75, 1];
const FLOWS_GPS = [3, 6, 12, 24, 48, 96];
/** Width of a bump: the spacing of its neighbours. */
const SPEED_WIDTH_LN = 0.5;
const LOAD_WIDTH = 0.2;
const FLOW_WIDTH_LN = 0.7;

/** Sound tables are right to this between and at their breakpoints (ln). Common practice, no published source. */
const VE_SD = 0.02;
const METER_SD = 0.012;
const LEVEL_SD = 0.01;
const COLD_SD = 0.03;

export function airErrorOf(samples: InjectorSamples): AirError {
  const veCount = SPEEDS_RPM.length * LOADS.length;
  const width = 3 + veCount + FLOWS_GPS.length;
  // Where the two models of the air disagree one of them is wrong by about so much, and nobody knows yet which.
  const disagreement = samples.modelLn.some((v) => !Number.isNaN(v)) ? robustSd(samples.modelLn, 0) || 0 : 0;
  const veSd = Math.hypot(VE_SD, disagreement);
  const meterSd = Math.hypot(METER_SD, 0.5 * disagreement);
  const onFuel = new Float64Array(samples.n * width);
  const onModel = new Float64Array(samples.n * width);
  for (let i = 0; i < samples.n; i++) {
    const ve = shares(
      SPEEDS_RPM.flatMap((speed) =>
        LOADS.map((load) => ((Math.log(samples.rpm[i]! / speed) / SPEED_WIDTH_LN) ** 2 + ((samples.loadFraction[i]! - load) / LOAD_WIDTH) ** 2) / 2),
      ),
    );
    const meter = shares(FLOWS_GPS.map((flow) => (Math.log(samples.airflowGps[i]! / flow) / FLOW_WIDTH_LN) ** 2 / 2));
    const set = (into: Float64Array, veSign: number, meterSign: number): void => {
      const at = i * width;
      into[at + 1] = veSign;
      into[at + 2] = meterSign;
      ve.forEach((share, k) => {
        into[at + 3 + k] = veSign * share;
      });
      meter.forEach((share, k) => {
        into[at + 3 + veCount + k] = meterSign * share;
      });
    };
    const uses = samples.usesMeter[i];
    set(onFuel, uses === 1 ? 0 : 1, uses === 1 ? 1 : 0);
    set(onModel, 1, -1);
    onFuel[i * width] = samples.coldness[i]!;
  }
  const sds = [
    COLD_SD,
    LEVEL_SD + 0.5 * disagreement,
    LEVEL_SD,
    ...new Array<number>(veCount).fill(veSd),
    ...new Array<number>(FLOWS_GPS.length).fill(meterSd),
  ];
  return { width, sds, onFuel, onModel };
}

/** A bump that gives less than this is not there. */
const LEAST_SHARE = 0.02;

/** Weights that fall with the distance and sum to one. */
function shares(distances: readonly number[]): readonly number[] {
  const nearest = Math.min(...distances);
  const weights = distances.map((distance) => Math.exp(nearest - distance)).map((weight) => (weight < LEAST_SHARE ? 0 : weight));
  const sum = weights.reduce((a, b) => a + b, 0);
  return weights.map((weight) => weight / sum);
}
