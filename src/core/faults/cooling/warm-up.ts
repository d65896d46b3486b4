import { median } from "../../../base/index.ts";
import type { Observations } from "../../residuals/index.ts";
import type { Facts } from "../facts.ts";
import { logAdd } from "../inference.ts";

/** One recording in even steps: what heats, what cools, what the sensor read. Shape of the arrays: (steps); NaN is no reading. */
export interface WarmUp {
  readonly recording: string;
  readonly fromS: number;
  readonly toS: number;
  readonly outsideC: number;
  readonly heatKw: Float64Array;
  readonly speedMs: Float64Array;
  /** Share of the radiator's ability at 20 m/s. */
  readonly wind: Float64Array;
  readonly coolantC: Float64Array;
  readonly firstC: number;
  readonly lastC: number;
}

const STEP_S = 5;
/** Heat of a gram of fuel, the share of it that goes into the coolant, and friction's. Common practice, no published source. */
const HEAT_SHARE = 0.27;
const FUEL_KJ_PER_G = 43;
const FRICTION_KW_PER_L = 0.25;

/** A cooling system: rise per heat over what its size suggests, loss of block and heater, thermostat's opening, share that never closes. */
interface Cooling {
  readonly gain: number;
  readonly lossKwPerK: number;
  readonly opensC: number;
  readonly stuckShare: number;
  readonly weight: number;
}

/** The fan runs from here [°C]. Common practice, no published source. */
const FAN_C = 96;
/** Opening range of a wax thermostat [K]. @source RT-21 */
const RANGE_K = 9;
const GAINS = nodes([0.5, 0.63, 0.79, 1, 1.26, 1.6, 2], 0, 0.35, Math.log);
const LOSSES = [0.02, 0.04, 0.075].map((value) => ({ value, weight: 1 / 3 }));
const SOUND_OPENINGS = nodes([77, 80, 83, 86, 89, 92], 85, 3.5, (v) => v);
const STUCK_SHARES = [0.06, 0.1, 0.16, 0.24, 0.35, 0.5];
const EARLY_OPENINGS = [32, 39, 46, 53, 60, 66, 71];

const SOUND = systems(SOUND_OPENINGS, [0]);
const COLD = [
  ...systems([SOUND_OPENINGS[1]!, SOUND_OPENINGS[3]!, SOUND_OPENINGS[5]!], STUCK_SHARES, 0.6),
  ...systems(
    EARLY_OPENINGS.map((value) => ({ value, weight: 1 })),
    [0],
    0.4,
  ),
];

/** What a mean-value model leaves out: the coolant strays by this much, for this long; a surge past the sensor, and tails for worse. */
const STRAYS_C = 3.5;
const STRAYS_FOR_S = 90;
const READING_C = 1.2;
const FREEDOM = 4;
/** Means over a quarter of a minute are compared: a surge past the sensor is over by then. */
const STEPS_A_LOOK = 3;
/** Trust in the whole: heat exchangers, heaters and fans differ in ways that no three figures hold. */
const TEMPER = 0.7;

/**
 * ln of how much likelier the coolant's trajectories in all recordings are with a system that runs cold than with a sound one; heat, losses and
 * opening of the thermostat are unknown, the same in every recording, and summed over.
 */
export function weighWarmUps(warmUps: readonly WarmUp[], displacementL: number): number {
  const evidence = (all: readonly Cooling[]): number =>
    all.reduce(
      (sum, cooling) => logAdd(sum, Math.log(cooling.weight) + warmUps.reduce((s, w) => s + logLikelihood(w, cooling, displacementL), 0)),
      Number.NEGATIVE_INFINITY,
    );
  return TEMPER * (evidence(COLD) - evidence(SOUND));
}

/** Where a sound engine's coolant would stand at the end of the recording [°C], after as much fuel: mean over what sound systems differ in. */
export function soundEndC(w: WarmUp, displacementL: number): number {
  return SOUND.reduce((sum, cooling) => sum + cooling.weight * lastOf(trajectory(w, cooling, displacementL)), 0);
}

/** The recording in steps of five seconds; undefined where coolant or airflow were not recorded or it ran under a minute. */
export function warmUpOf(o: Observations, facts: Facts): WarmUp | undefined {
  const running: number[] = [];
  for (let i = 0; i < o.n; i++) if (o.rpm[i]! > 400) running.push(i);
  if (running.length * o.dtS < 60) return undefined;
  const from = running[0]!;
  const to = running[running.length - 1]!;
  const size = Math.max(1, Math.round(STEP_S / o.dtS));
  const steps = Math.floor((to - from + 1) / size);
  const heatKw = new Float64Array(steps);
  const speedMs = new Float64Array(steps);
  const coolantC = new Float64Array(steps);
  let known = 0;
  let air = 0;
  for (let k = 0; k < steps; k++) {
    const range = Array.from({ length: size }, (_, j) => from + k * size + j);
    const airGps = mean(range.map((i) => airflowAt(o, i)));
    if (!Number.isNaN(airGps)) air++;
    const turning = mean(range.map((i) => o.rpm[i]!)) > 200;
    heatKw[k] = turning ? ((airGps || facts.idleAirGps) / 14.5) * FUEL_KJ_PER_G * HEAT_SHARE + FRICTION_KW_PER_L * facts.displacementL : 0;
    const kmh = mean(range.map((i) => o.vssKmh[i]!));
    speedMs[k] = Number.isNaN(kmh) ? (airGps > 1.6 * facts.idleAirGps ? 13 : 0) : kmh / 3.6;
    coolantC[k] = median(range.map((i) => o.ectC[i]!));
    if (!Number.isNaN(coolantC[k]!)) known++;
  }
  if (known < 10 || air < 0.7 * steps) return undefined;
  const coldest = median(o.iatC.subarray(from, Math.min(to, from + 6 * size)));
  const outsideC = facts.input.intake.ambient?.temperatureC ?? (Number.isFinite(coldest) ? coldest - 3 : 20);
  const seen = coolantC.filter((c) => !Number.isNaN(c));
  return {
    recording: o.recording.file,
    fromS: o.timeS[from]!,
    toS: o.timeS[to]!,
    outsideC,
    heatKw,
    speedMs,
    wind: speedMs.map(windOf),
    coolantC,
    firstC: seen[0]!,
    lastC: lastOf(coolantC),
  };
}

/** What a radiator passes at a road speed, as a share of what it passes at 20 m/s; standing, the air still rises through it. Common practice. */
export function windOf(speedMs: number): number {
  return 0.15 + 0.85 * Math.min(1.5, (speedMs / 20) ** 0.8);
}

function airflowAt(o: Observations, i: number): number {
  return o.meterGps[i]! >= 0 ? o.meterGps[i]! : o.speedDensityGps[i]!;
}

/** Coolant of the model from the first reading on [°C]; NaN before it. */
function trajectory(w: WarmUp, cooling: Cooling, displacementL: number): Float64Array {
  const capacityKjPerK = (25 + 12 * displacementL) / cooling.gain;
  const openKwPerK = 0.35 + 0.25 * displacementL;
  const modelC = new Float64Array(w.coolantC.length).fill(Number.NaN);
  let c = Number.NaN;
  for (let k = 0; k < modelC.length; k++) {
    if (Number.isNaN(c)) c = w.coolantC[k]!;
    else {
      const open = Math.max(cooling.stuckShare, Math.min(1, Math.max(0, (c - cooling.opensC) / RANGE_K)));
      const wind = Math.max(c > FAN_C ? 0.35 : 0, w.wind[k]!);
      const lossKw = (cooling.lossKwPerK * (1 + 0.05 * w.speedMs[k]!) + open * wind * openKwPerK) * (c - w.outsideC);
      c += ((w.heatKw[k]! - lossKw) / capacityKjPerK) * STEP_S;
    }
    modelC[k] = c;
  }
  return modelC;
}

/** ln likelihood of one trajectory: departures from the model wander slowly, and each reading is rounded. */
function logLikelihood(w: WarmUp, cooling: Cooling, displacementL: number): number {
  const modelC = trajectory(w, cooling, displacementL);
  const keeps = Math.exp((-STEPS_A_LOOK * STEP_S) / STRAYS_FOR_S);
  const sd = Math.hypot(STRAYS_C * Math.sqrt(1 - keeps * keeps), READING_C);
  let before = 0;
  let log = 0;
  for (let k = 0; k + STEPS_A_LOOK <= modelC.length; k += STEPS_A_LOOK) {
    let sum = 0;
    let count = 0;
    for (let j = k; j < k + STEPS_A_LOOK; j++) {
      const difference = w.coolantC[j]! - modelC[j]!;
      if (Number.isNaN(difference)) continue;
      sum += difference;
      count++;
    }
    if (count === 0) continue;
    const strays = sum / count;
    const z = (strays - keeps * before) / sd;
    // Student's t: surges of heat that the model does not know come and go within a look or two.
    log -= 0.5 * (FREEDOM + 1) * Math.log1p((z * z) / FREEDOM);
    before = strays;
  }
  return log;
}

function lastOf(values: Float64Array): number {
  return values.findLast((value) => !Number.isNaN(value)) ?? Number.NaN;
}

function systems(openings: readonly { value: number; weight: number }[], stuckShares: readonly number[], share = 1): Cooling[] {
  const total = openings.reduce((sum, { weight }) => sum + weight, 0);
  return GAINS.flatMap((gain) =>
    LOSSES.flatMap((loss) =>
      openings.flatMap((opening) =>
        stuckShares.map((stuckShare) => ({
          gain: gain.value,
          lossKwPerK: loss.value,
          opensC: opening.value,
          stuckShare,
          weight: (share * gain.weight * loss.weight * opening.weight) / total / stuckShares.length,
        })),
      ),
    ),
  );
}

/** Values weighed by a normal distribution of their scale; weights sum to 1. */
function nodes(values: readonly number[], centre: number, sd: number, scale: (value: number) => number): { value: number; weight: number }[] {
  const raw = values.map((value) => Math.exp(-0.5 * ((scale(value) - centre) / sd) ** 2));
  const total = raw.reduce((sum, w) => sum + w, 0);
  return values.map((value, k) => ({ value, weight: raw[k]! / total }));
}

function mean(values: readonly number[]): number {
  let sum = 0;
  let count = 0;
  for (const value of values)
    if (!Number.isNaN(value)) {
      sum += value;
      count++;
    }
  return count === 0 ? Number.NaN : sum / count;
}
