import { median } from "../../base/index.ts";
import { type CoastDownForce, coastDownForceN, forcePowerKw, torqueNm as torqueOfPowerNm } from "../physics/index.ts";
import { channelValues, type Recording } from "../recordings/index.ts";
import type { PullResult } from "../result/index.ts";
import { leastSquares } from "../statistics/index.ts";
import type { PullAnalysis } from "./analyse.ts";
import { peakOf } from "./curve.ts";
import { fillBetween, localSlope } from "./series.ts";

/** A coast-down fitted: F = A + B v + C v², v in m/s, with the speeds it was seen over. */
export interface CoastDown {
  readonly force: CoastDownForce;
  readonly fromKmh: number;
  readonly toKmh: number;
  /** Standard deviation of the force about the fit [N]. */
  readonly residualSdN: number;
}

/** Half width of the parabola that gives deceleration [s]. */
const HALF_S = 0.6;
/** Slower than this brakes and tyre hysteresis speak louder than the law [km/h]. */
const LEAST_KMH = 15;

/**
 * Fits a coast-down: neutral or clutch down, nothing driven, nothing braked. On the road the mass is the vehicle's with its turning
 * parts; on rollers that of the rollers with what turns in the vehicle, and the force is then the loss of tyres and driveline.
 *
 * The linear term is left out where the speeds span less than a factor of two: the three cannot then be told apart.
 *
 * @returns undefined where less than 3 s or 15 km/h of falling speed were recorded
 * @source epa-road-load
 */
export function fitCoastDown(recording: Recording, massKg: number): CoastDown | undefined {
  const values = channelValues(recording, "rollerKmh") ?? channelValues(recording, "vss");
  if (values === undefined) return undefined;
  const timeS = recording.timeS.filter((_, i) => !Number.isNaN(values[i]!));
  const speedMs = fillBetween(recording.timeS, values, timeS).map((kmh) => kmh / 3.6);
  const slope = localSlope(timeS, speedMs, HALF_S);
  const isCoasting = slope.map((a, i) => (a < -0.005 && speedMs[i]! * 3.6 > LEAST_KMH ? 1 : 0));
  const rows = longestRun(isCoasting, timeS);
  const [first, last] = [rows[0], rows.at(-1)];
  if (first === undefined || last === undefined || timeS[last]! - timeS[first]! < 3 || 3.6 * (speedMs[first]! - speedMs[last]!) < 15) return undefined;
  const inner = rows.filter((i) => timeS[i]! - timeS[first]! > HALF_S && timeS[last]! - timeS[i]! > HALF_S);
  const isWide = speedMs[first]! > 2 * speedMs[last]!;
  const speeds = inner.map((i) => speedMs[i]!);
  const forces = inner.map((i) => -massKg * slope[i]!);
  const columns = [speeds.map(() => 1), ...(isWide ? [speeds] : []), speeds.map((v) => v * v)];
  const fitted = leastSquares(columns, forces)?.coefficients;
  if (fitted === undefined) return undefined;
  const [constantN, perSpeedNs, perSpeedSquaredNs2] = isWide ? [fitted[0]!, fitted[1]!, fitted[2]!] : [fitted[0]!, 0, fitted[1]!];
  const force = { constantN, perSpeedNs, perSpeedSquaredNs2 };
  const residuals = inner.map((i, k) => forces[k]! - coastDownForceN(force, 3.6 * speedMs[i]!));
  const centre = median(residuals);
  const residualSdN = Math.sqrt(residuals.reduce((sum, r) => sum + (r - centre) ** 2, 0) / residuals.length);
  return { force, fromKmh: 3.6 * speedMs[first]!, toKmh: 3.6 * speedMs[last]!, residualSdN };
}

/** Power that the coast-down's losses take at a speed [kW]: on rollers, tyres and driveline without load. It grows somewhat under load. */
export function coastDownLossKw(coastDown: CoastDown, speedKmh: number): number {
  return forcePowerKw(coastDownForceN(coastDown.force, speedKmh), speedKmh);
}

/** What is known of the loss between flywheel and rollers: measured with nothing driven, or stated as a share of the flywheel's power. */
export type DrivelineLoss =
  | { readonly kind: "coast-down"; readonly file: string; readonly coastDown: CoastDown }
  | { readonly kind: "stated"; readonly percent: number };

/** What the engine is estimated to give at its flywheel: the rollers' power and the losses of a coast-down, corrected together. */
export interface FlywheelEstimate {
  readonly rpm: Float64Array;
  readonly lossKw: Float64Array;
  readonly powerKw: Float64Array;
  readonly torqueNm: Float64Array;
  readonly remark: string;
}

type Reckoned = Pick<PullAnalysis, "curve" | "samples" | "factor">;

/** Estimate at the flywheel over engine speed; undefined where the sweep has no curve. Quote roller figures as roller figures: this is an estimate. */
export function flywheelEstimate(pull: Reckoned, coastDown: CoastDown): FlywheelEstimate | undefined {
  const { curve, samples, factor } = pull;
  const revsPerKm = samples?.driveline.measuredRevsPerKm ?? samples?.driveline.listedRevsPerKm;
  if (curve === undefined || revsPerKm === undefined) return undefined;
  const lossKw = curve.rpm.map((n) => factor * coastDownLossKw(coastDown, (60 * n) / revsPerKm));
  const powerKw = curve.powerKw.map((p, i) => p + lossKw[i]!);
  return {
    rpm: curve.rpm,
    lossKw,
    powerKw,
    torqueNm: powerKw.map((p, i) => torqueOfPowerNm(p, curve.rpm[i]!)),
    remark:
      `losses of tyres and driveline from a coast-down between ${coastDown.toKmh.toFixed(0)} and ${coastDown.fromKmh.toFixed(0)} km/h, ` +
      `± ${coastDown.residualSdN.toFixed(0)} N; under load they are somewhat larger`,
  };
}

/** Figures at the flywheel as the result prints them; nothing where no loss is known, or where a road load already holds the driveline's drag. */
export function flywheelFigures(pull: Reckoned & { readonly result: PullResult }, loss: DrivelineLoss | undefined): Pick<PullResult, "flywheel"> {
  if (loss === undefined) return {};
  if (loss.kind === "stated") {
    const share = 1 - loss.percent / 100;
    const { peakPowerKw, peakPowerRpm, peakTorqueNm, peakTorqueRpm } = pull.result;
    const basis = `a loss of ${loss.percent} % between flywheel and rollers as stated, not measured`;
    return { flywheel: { peakPowerKw: tenth(peakPowerKw / share), peakPowerRpm, peakTorqueNm: tenth(peakTorqueNm / share), peakTorqueRpm, basis } };
  }
  const estimate = pull.samples?.source === "road" ? undefined : flywheelEstimate(pull, loss.coastDown);
  const power = estimate && peakOf(estimate.powerKw, estimate.rpm, pull.curve!.sdFraction);
  const torque = estimate && peakOf(estimate.torqueNm, estimate.rpm, pull.curve!.sdFraction);
  if (power === undefined || torque === undefined) return {};
  return {
    flywheel: {
      peakPowerKw: tenth(power.value),
      peakPowerRpm: Math.round(power.rpm),
      peakTorqueNm: tenth(torque.value),
      peakTorqueRpm: Math.round(torque.rpm),
      basis: `${loss.file}: ${estimate!.remark}`,
    },
  };
}

const tenth = (value: number): number => Number(value.toFixed(1));

function longestRun(flags: Float64Array, timeS: Float64Array): number[] {
  let best: number[] = [];
  let run: number[] = [];
  for (let i = 0; i < flags.length; i++) {
    if (flags[i] === 1) run.push(i);
    else if (run.length > 0 && timeS[i]! - timeS[run.at(-1)!]! > 0.5) run = [];
    if (run.length > best.length) best = run;
  }
  return best;
}
