import { type Random, seededRandom } from "../../base/index.ts";
import type { Channel, Recording } from "../recordings/index.ts";
import type { Calibration } from "../tables/index.ts";
import type { SignalId } from "../units/index.ts";
import { saturationKpa } from "./gas.ts";
import { prepareRun, type Run, STEP_S } from "./run.ts";
import { freshMemory, initialState, type State } from "./state.ts";
import { advanceClock, stepEngine } from "./step.ts";
import type { Ambient, VirtualVehicle } from "./vehicle.ts";

/** What a sweep really held: SAE J1349 factor, and peaks at the roller with the factor applied, torque referred to engine speed. */
export interface SweepTruth {
  readonly file: string;
  readonly factor: number;
  readonly peakPowerKw: number;
  readonly peakPowerRpm: number;
  readonly peakTorqueNm: number;
  readonly peakTorqueRpm: number;
  readonly ambient: Ambient;
  readonly gear: number;
}

export interface Sweep {
  readonly recording: Recording;
  readonly truth: SweepTruth;
}

/** Correction of naturally aspirated and boosted gasoline engines alike: 1.18 (99/p_dry) √(T/298) − 0.18. @source j1349 */
export function j1349Factor(ambient: Ambient): number {
  const dryKpa = ambient.pressureKpa - (ambient.relativeHumidityPercent / 100) * saturationKpa(ambient.temperatureC);
  return 1.18 * (99 / dryKpa) * Math.sqrt((ambient.temperatureC + 273.15) / 298.15) - 0.18;
}

/** Full-load sweeps on a roller, one after another on the same afternoon. */
export function drawSweeps(vehicle: VirtualVehicle, calibration: Calibration, count: number, random: Random): Sweep[] {
  if (count === 0) return [];
  const ambient: Ambient = {
    pressureKpa: Math.round((vehicle.ambient.pressureKpa + random.between(-0.6, 0.6)) * 10) / 10,
    temperatureC: Math.round((vehicle.ambient.temperatureC + random.between(2, 8)) * 10) / 10,
    relativeHumidityPercent: Math.round(Math.max(15, Math.min(90, vehicle.ambient.relativeHumidityPercent + random.between(-10, 10)))),
  };
  return Array.from({ length: count }, (_, i) => sweep(vehicle, calibration, { ambient, file: `pulls/sweep-${i + 1}.csv`, seed: random.whole(1, 2 ** 31) }));
}

function sweep(vehicle: VirtualVehicle, calibration: Calibration, how: { readonly ambient: Ambient; readonly file: string; readonly seed: number }): Sweep {
  const random = seededRandom(how.seed);
  const gear = 1 + vehicle.transmission.ratios.reduce((best, ratio, i, all) => (Math.abs(ratio - 1) < Math.abs(all[best]! - 1) ? i : best), 0);
  const onRoller = rollerVehicle(vehicle, how.ambient, gear);
  const run = prepareRun(onRoller, calibration, freshMemory(), random);
  const s = initialState({ coolantC: 88, oilC: 95, soakC: random.between(8, 14) }, how.ambient, freshMemory());
  rollAt(run, s, 1500, gear);
  const rows = takeSweep(run, s, onRoller, random);
  const factor = j1349Factor(how.ambient);
  return { recording: recordingOf(rows, how, gear), truth: truthOf(rows, factor, how, gear) };
}

/** The vehicle with the roller's mass instead of its own, sized so that the sweep takes about half a minute. */
function rollerVehicle(vehicle: VirtualVehicle, ambient: Ambient, gear: number): VirtualVehicle {
  const { engine, body, transmission } = vehicle;
  const overall = transmission.ratios[gear - 1]! * body.axleRatio;
  const radiusM = 1000 / (2 * Math.PI * body.tireRevsPerKm);
  const meanNm = engine.displacementL * (engine.turbo === undefined ? 72 : 72 + 0.7 * engine.turbo.targetGaugeKpa);
  const riseMs = ((engine.maximumRpm - 1500) * (Math.PI / 30) * radiusM) / overall;
  const massKg = ((meanNm * 0.86 * overall) / radiusM) * (29 / riseMs);
  return { ...vehicle, ambient, body: { ...body, massKg: massKg / 1.04, dragAreaM2: 0, rollingShare: 0 }, transmission: { ...transmission, kind: "manual" } };
}

function rollAt(run: Run, s: State, rpm: number, gear: number): void {
  const ratio = run.vehicle.transmission.ratios[gear - 1]!;
  s.gear = gear;
  s.ratio = ratio;
  s.clutch = 1;
  s.clutchLocked = true;
  s.rpm = rpm;
  s.runS = 60;
  s.synced = true;
  s.speedMs = ((rpm * Math.PI) / 30 / (ratio * run.vehicle.body.axleRatio)) * run.tireRadiusM;
  s.mapKpa = s.mapSensor = 40;
  run.inDrive = true;
  run.keyOnS = 60;
}

interface SweepRows {
  readonly timeS: number[];
  readonly rpm: number[];
  readonly kmh: number[];
  readonly forceN: number[];
  readonly map: number[];
  readonly iat: number[];
  readonly lambda: number[];
  readonly spark: number[];
  readonly knock: number[];
  readonly trueForceN: number[];
}

function takeSweep(run: Run, s: State, vehicle: VirtualVehicle, random: Random): SweepRows {
  const rows: SweepRows = { timeS: [], rpm: [], kmh: [], forceN: [], map: [], iat: [], lambda: [], spark: [], knock: [], trueForceN: [] };
  const stepEvery = 5;
  let smoothN = 0;
  let twist = 0;
  const limit = Math.min(run.maps.limitRpm - 120, vehicle.engine.maximumRpm - 100);
  for (let i = 0; i < 6000 && s.rpm < limit; i++) {
    const before = s.speedMs;
    s.pedal = Math.min(100, 500 * i * STEP_S);
    advanceClock(run, s);
    stepEngine(run, s);
    const force = vehicle.body.massKg * 1.04 * ((s.speedMs - before) / STEP_S);
    smoothN += (force - smoothN) * (STEP_S / 0.12);
    twist += -twist * (STEP_S / 0.25) + 0.012 * Math.sqrt((2 * STEP_S) / 0.25) * random.normal();
    if (i % stepEvery !== 0) continue;
    rows.timeS.push(Math.round(i * STEP_S * 1000) / 1000);
    rows.rpm.push(Math.round(s.rpm));
    rows.kmh.push(Math.round((s.speedMs * 3.6 + 0.03 * random.normal()) * 10) / 10);
    rows.forceN.push(Math.round((smoothN * (1 + twist) + 25 * random.normal()) * 10) / 10);
    rows.trueForceN.push(smoothN);
    rows.map.push(Math.round(s.mapSensor * 10) / 10);
    rows.iat.push(Math.round(s.iatSensor));
    rows.lambda.push(Math.round(s.wideband * 1000) / 1000);
    rows.spark.push(Math.round((s.spark - s.knockRetard) * 2) / 2);
    rows.knock.push(Math.round(s.knockRetard * 10) / 10);
  }
  return rows;
}

function recordingOf(rows: SweepRows, how: { readonly ambient: Ambient; readonly file: string }, gear: number): Recording {
  const channel = (signal: SignalId, values: readonly number[]): Channel => ({ signal, source: signal, confidence: 1, values: Float64Array.from(values) });
  return {
    file: how.file,
    timeS: Float64Array.from(rows.timeS),
    channels: {
      rpm: channel("rpm", rows.rpm),
      rollerKmh: channel("rollerKmh", rows.kmh),
      rollerForceN: channel("rollerForceN", rows.forceN),
      map: channel("map", rows.map),
      iat: channel("iat", rows.iat),
      lambda: channel("lambda", rows.lambda),
      spark: channel("spark", rows.spark),
      knockRetard: channel("knockRetard", rows.knock),
    },
    others: [],
    preamble: {
      "Ambient pressure": `${how.ambient.pressureKpa} kPa`,
      "Ambient temperature": `${how.ambient.temperatureC} °C`,
      "Relative humidity": `${how.ambient.relativeHumidityPercent} %`,
      Gear: String(gear),
    },
    repairs: [],
  };
}

/** Peaks of the noise-free roller power, smoothed over half a second; the first second, where the throttle opens, left out. */
function truthOf(rows: SweepRows, factor: number, how: { readonly ambient: Ambient; readonly file: string }, gear: number): SweepTruth {
  let [peakPowerKw, peakPowerRpm, peakTorqueNm, peakTorqueRpm] = [0, 0, 0, 0];
  for (let i = 25; i < rows.timeS.length - 5; i++) {
    let force = 0;
    for (let k = -5; k <= 5; k++) force += rows.trueForceN[i + k]! / 11;
    const powerKw = (force * rows.kmh[i]! * factor) / 3600;
    const torqueNm = (powerKw * 9549.2966) / rows.rpm[i]!;
    if (powerKw > peakPowerKw) [peakPowerKw, peakPowerRpm] = [powerKw, rows.rpm[i]!];
    if (torqueNm > peakTorqueNm) [peakTorqueNm, peakTorqueRpm] = [torqueNm, rows.rpm[i]!];
  }
  return { file: how.file, factor, peakPowerKw, peakPowerRpm, peakTorqueNm, peakTorqueRpm, ambient: how.ambient, gear };
}
