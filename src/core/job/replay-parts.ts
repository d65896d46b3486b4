import { mean, quantile } from "../../base/index.ts";
import { replay } from "../controller/index.ts";
import type { Observations } from "../residuals/index.ts";
import type { Intake } from "../result/index.ts";
import type { Calibration } from "../tables/index.ts";

/** One part of the replay: how far the controller's idea was off over the recorded drive, and how far it would have been. */
export interface ReplayPart {
  /** `fuel`: real mixture against the one assumed; `air`: metered air against that of speed and density. */
  readonly id: "fuel" | "air";
  /** Root mean square of the residual over steady samples, shares. */
  readonly rmsBefore: number;
  readonly rmsAfter: number;
  readonly samples: number;
  /** By airflow, rising; spans with few samples are left out. */
  readonly bins: readonly ReplayBin[];
}

/** Samples of about one airflow: mean residual before and after, and within what nine of ten lie after; shares. */
export interface ReplayBin {
  readonly airflowGps: number;
  readonly before: number;
  readonly after: number;
  readonly afterLow: number;
  readonly afterHigh: number;
}

const BINS = 14;
const LEAST_IN_BIN = 25;
/** Steadier than this a sample speaks for the tables and not for the transient. */
const STEADY = 0.2;
const LEAST_RPM = 400;

interface Sample {
  readonly airflowGps: number;
  readonly before: number;
  readonly after: number;
}

/**
 * The controller's air and fuel path over recorded instants with other tables, part by part. Parts of which no recording tells are left
 * out; a NaN sample does not count. Pure.
 *
 * @param before  tables that were in the controller when the recordings were made
 */
export function replayParts(before: Calibration, after: Calibration, intake: Intake, driven: readonly Observations[]): readonly ReplayPart[] {
  const fuel: Sample[] = [];
  const air: Sample[] = [];
  for (const seen of driven) {
    const replayed = replay(seen, before, after, intake.engine);
    for (let i = 0; i < seen.n; i++) {
      const airflowGps = seen.controllerGps[i]!;
      if (!(seen.steadiness[i]! > STEADY) || !(seen.rpm[i]! > LEAST_RPM) || !(airflowGps > 0)) continue;
      put(fuel, airflowGps, seen.fuelResidual[i]!, replayed.fuelResidual[i]!);
      put(air, airflowGps, seen.modelResidual[i]!, replayed.modelResidual[i]!);
    }
  }
  return [partOf("fuel", fuel), partOf("air", air)].filter((part) => part.bins.length > 0);
}

function put(samples: Sample[], airflowGps: number, before: number, after: number): void {
  if (Number.isFinite(before) && Number.isFinite(after)) samples.push({ airflowGps, before, after });
}

function partOf(id: ReplayPart["id"], samples: readonly Sample[]): ReplayPart {
  const bins = binned(samples)
    .filter((within) => within.length >= LEAST_IN_BIN)
    .map((within): ReplayBin => {
      const after = within.map((sample) => sample.after);
      return {
        airflowGps: mean(within.map((sample) => sample.airflowGps)),
        before: mean(within.map((sample) => sample.before)),
        after: mean(after),
        afterLow: quantile(after, 0.05),
        afterHigh: quantile(after, 0.95),
      };
    });
  const rms = (values: readonly number[]): number => Math.sqrt(mean(values.map((value) => value ** 2)));
  return {
    id,
    rmsBefore: rms(samples.map((sample) => sample.before)),
    rmsAfter: rms(samples.map((sample) => sample.after)),
    samples: samples.length,
    bins,
  };
}

/** Samples in spans of airflow of equal ratio, rising: idle and full load have a share of the picture each. */
function binned(samples: readonly Sample[]): readonly Sample[][] {
  const flowLn = samples.map((sample) => Math.log(sample.airflowGps));
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of flowLn) [low, high] = [Math.min(low, value), Math.max(high, value)];
  const bins = Array.from({ length: BINS }, (): Sample[] => []);
  samples.forEach((sample, i) => {
    bins[Math.min(BINS - 1, Math.floor((BINS * (flowLn[i]! - low)) / (high - low || 1)))]!.push(sample);
  });
  return bins;
}
