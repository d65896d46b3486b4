import { type Random, seededRandom } from "../../src/base/index.ts";
import type { Recording } from "../../src/core/recordings/index.ts";
import type { Intake } from "../../src/core/result/index.ts";
import type { SignalId } from "../../src/core/units/index.ts";

/** What a made sweep is like. Everything that is left out is drawn from the seed. */
export interface SweepPlan {
  readonly seed: number;
  readonly rateHz?: number;
  /** Engine speed gained per second at mid range. */
  readonly rpmPerS?: number;
  /** Real unsteadiness of torque [fraction] and how long it lasts [s]. */
  readonly unsteadyFraction?: number;
  readonly unsteadyS?: number;
  /** Noise of the force cell [fraction]. */
  readonly cellFraction?: number;
  /** Whole sweep up or down against its fellows [fraction]. */
  readonly sweepFraction?: number;
  readonly cuts?: number;
  readonly end?: "hold" | "roll-out" | "limiter";
  readonly hasRpm?: boolean;
  readonly spikes?: number;
  /** Tip-in overshoot by driveline shuffle [fraction]. */
  readonly shuffleFraction?: number;
  /** Shape and size of the engine: sweeps of one engine share it. */
  readonly engineSeed?: number;
  readonly gain?: number;
}

/** Peaks as a reading of 0.1 s would show without the cell's noise, and as the engine's own curve has them. Uncorrected, at the roller. */
export interface SweepTruth {
  readonly powerKw: number;
  readonly torqueNm: number;
  readonly curvePowerKw: number;
  readonly curveTorqueNm: number;
}

export interface MadeSweep {
  readonly recording: Recording;
  readonly intake: Intake;
  readonly truth: SweepTruth;
  readonly massKg: number;
}

/** Neutral ambient: the SAE J1349 factor is 1 there. */
export const NEUTRAL_NOTES = { "Ambient pressure": "100 kPa", "Ambient temperature": "25 °C", "Vapour pressure": "1 kPa" } as const;

const STEP_S = 0.005;
const LAG_S = 0.1;
const NM_RPM_PER_KW = 60_000 / (2 * Math.PI);

interface Engine {
  torqueNm(rpm: number): number;
  readonly fromRpm: number;
  readonly toRpm: number;
  readonly revsPerKm: number;
  readonly gearRatio: number;
  readonly axleRatio: number;
  readonly tireRevsPerKm: number;
}

function drawEngine(random: Random): Engine {
  const peakNm = random.between(110, 650);
  const peakAt = random.between(1800, 5200);
  const width = random.between(2200, 4500);
  const ripple = random.between(0, 0.03);
  const rippleRpm = random.between(900, 2500);
  const phase = random.between(0, 6);
  const toRpm = random.between(5200, 7800);
  const fallFrom = toRpm * random.between(0.75, 0.95);
  const torqueNm = (rpm: number): number => {
    const bump = 1 / (1 + ((rpm - peakAt) / width) ** 2);
    const fall = rpm > fallFrom ? 1 - 0.25 * ((rpm - fallFrom) / (toRpm - fallFrom)) ** 2 : 1;
    return peakNm * bump * fall * (1 + ripple * Math.sin((2 * Math.PI * rpm) / rippleRpm + phase));
  };
  const [gearRatio, axleRatio, tireRevsPerKm] = [random.between(0.95, 1.3), random.between(2.7, 4.3), random.between(430, 530)];
  return { torqueNm, fromRpm: random.between(1300, 2400), toRpm, revsPerKm: gearRatio * axleRatio * tireRevsPerKm, gearRatio, axleRatio, tireRevsPerKm };
}

/** A sweep on a roller whose inertia is in the force, lived at 5 ms and recorded at the plan's rate. */
export function madeSweep(plan: SweepPlan): MadeSweep {
  const random = seededRandom(plan.seed);
  const engine = drawEngine(seededRandom(plan.engineSeed ?? plan.seed + 7919));
  const rateHz = plan.rateHz ?? random.pick([10, 20, 20, 25, 50, 100]);
  const unsteady = plan.unsteadyFraction ?? random.between(0.002, 0.012);
  const unsteadyS = plan.unsteadyS ?? random.between(0.1, 0.4);
  const cell = plan.cellFraction ?? random.between(0.001, 0.006);
  const gain = (plan.gain ?? 1) * (1 + (plan.sweepFraction ?? 0));
  const lossNm = random.between(5, 15);
  const midNm = engine.torqueNm((engine.fromRpm + engine.toRpm) / 2);
  const rpmPerS = plan.rpmPerS ?? random.between(90, 500);
  const inertia = ((midNm - lossNm) / rpmPerS) * (60 / (2 * Math.PI));
  const riseS = random.between(0.05, 0.25);
  const shuffle = plan.shuffleFraction ?? 0;
  const end = plan.end ?? random.pick(["hold", "roll-out", "limiter"] as const);
  const cutRpm = Array.from({ length: plan.cuts ?? random.whole(0, 2) }, () => random.between(engine.fromRpm + 800, engine.toRpm - 500));

  let [rpm, unsteadyNow, torque, reading, stopS] = [engine.fromRpm, 0, -20, 0, Number.POSITIVE_INFINITY];
  const keep = Math.exp(-STEP_S / unsteadyS);
  let truth = { powerKw: 0, torqueNm: 0, curvePowerKw: 0, curveTorqueNm: 0 };
  const rows: { t: number; rpm: number; kmh: number; force: number }[] = [];
  const cutUntilS = cutRpm.map(() => Number.NaN);
  const every = Math.round(1 / rateHz / STEP_S);
  for (let step = 0; step * STEP_S < Math.min(60, stopS + 6); step++) {
    const t = step * STEP_S;
    unsteadyNow = keep * unsteadyNow + Math.sqrt(1 - keep * keep) * unsteady * random.normal();
    const curve = engine.torqueNm(rpm) * gain;
    if (rpm >= engine.toRpm && stopS === Number.POSITIVE_INFINITY) stopS = t;
    let wanted = curve * (1 + unsteadyNow) * (1 + shuffle * Math.exp(-t / 0.35) * Math.sin(2 * Math.PI * 3 * t));
    cutRpm.forEach((at, i) => {
      if (rpm >= at && Number.isNaN(cutUntilS[i]!)) cutUntilS[i] = t + 0.3;
      if (t < cutUntilS[i]!) wanted *= 0.6;
    });
    if (t > stopS) wanted = end === "hold" ? lossNm : end === "roll-out" ? -25 : rpm > engine.toRpm ? -20 : curve * 0.5;
    torque += (wanted - torque) * (1 - Math.exp(-STEP_S / riseS));
    if (t > 1.5) torque = wanted; // the lag belongs to the tip-in
    const power = (torque * rpm) / NM_RPM_PER_KW;
    reading += (power - reading) * (1 - Math.exp(-STEP_S / LAG_S));
    if (t > 0.9 && t <= stopS) {
      truth = {
        powerKw: Math.max(truth.powerKw, reading),
        torqueNm: Math.max(truth.torqueNm, (reading * NM_RPM_PER_KW) / rpm),
        curvePowerKw: Math.max(truth.curvePowerKw, (curve * rpm) / NM_RPM_PER_KW),
        curveTorqueNm: Math.max(truth.curveTorqueNm, curve),
      };
    }
    if (step % every === 0) {
      const kmh = (60 * rpm) / engine.revsPerKm;
      const force = (power * 3600) / kmh;
      rows.push({
        t,
        rpm: Math.round(rpm),
        kmh: Math.round(kmh * 10) / 10,
        force: Math.round(10 * (force + cell * Math.abs(midNm / torque > 3 ? 0 : force) * random.normal())) / 10,
      });
    }
    rpm += ((torque - lossNm) / inertia) * (60 / (2 * Math.PI)) * STEP_S;
  }
  for (let i = 0; i < (plan.spikes ?? 0); i++) rows[random.whole(10, rows.length - 10)]!.force *= random.chance(0.5) ? 1.4 : 0.2;
  const intake: Intake = {
    vehicle: {
      axleRatio: engine.axleRatio,
      tireRevsPerKm: engine.tireRevsPerKm,
      gearRatios: [engine.gearRatio * 2.6, engine.gearRatio * 1.5, engine.gearRatio, engine.gearRatio * 0.7],
    },
    engine: { displacementL: 3, cylinders: 6 },
  };
  const radiusM = 1000 / (2 * Math.PI * engine.revsPerKm);
  return { recording: recordingOf(rows, plan), intake, truth, massKg: inertia / radiusM ** 2 };
}

function recordingOf(rows: readonly { t: number; rpm: number; kmh: number; force: number }[], plan: SweepPlan): Recording {
  const channel = (signal: SignalId, values: readonly number[]) => ({ signal, source: signal, confidence: 1, values: Float64Array.from(values) });
  return {
    file: `pulls/made-${plan.seed}.csv`,
    timeS: Float64Array.from(rows, (row) => row.t),
    channels: {
      ...(plan.hasRpm === false
        ? {}
        : {
            rpm: channel(
              "rpm",
              rows.map((row) => row.rpm),
            ),
          }),
      rollerKmh: channel(
        "rollerKmh",
        rows.map((row) => row.kmh),
      ),
      rollerForceN: channel(
        "rollerForceN",
        rows.map((row) => row.force),
      ),
    },
    others: [],
    preamble: { ...NEUTRAL_NOTES, Gear: "3", "Roller inertia included in force": "" },
    repairs: [],
  };
}
