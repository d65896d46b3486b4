import type { Random } from "../../base/index.ts";
import type { Channel, OtherColumn, Recording } from "../recordings/index.ts";
import type { SignalId } from "../units/index.ts";
import { fastNormal } from "./noise.ts";
import type { Run } from "./run.ts";
import type { State } from "./state.ts";

/** How a logger takes rows: interval, jitter, and for each signal its step and how many rows lie between samples (0: not logged). */
export interface LogFormat {
  readonly intervalS: number;
  readonly jitterS: number;
  readonly quantum: Readonly<Partial<Record<SignalId, number>>>;
  readonly everyRows: Readonly<Partial<Record<SignalId, number>>>;
  /** The second position sensor runs against the first. */
  readonly secondThrottleFalls: boolean;
  /** Times a minute that the logger loses its connection for half a second to two. */
  readonly gapsPerMin: number;
}

type Source = (s: State, run: Run, noise: () => number) => number;

/** What each signal shows of the state; noise of the sensor's own included. */
const SOURCES: Readonly<Partial<Record<SignalId, Source>>> = {
  rpm: (s, _r, noise) => (s.rpm < 30 ? 0 : s.rpm + 1.2 * noise()),
  map: (s, _r, noise) => s.mapSensor + 0.3 * noise(),
  baro: (_s, run, noise) => run.vehicle.ambient.pressureKpa + 0.15 * noise(),
  maf: (s) => s.meterAirGps,
  mafHz: (s, _r, noise) => s.meterHz + 4 * noise(),
  tp1: (s, _r, noise) => s.throttle + 0.08 * noise(),
  tp2: (s, run, noise) => s.throttle + run.vehicle.defects.throttleSlackPercent * (1 - run.vehicle.defects.slackBothShare) + 0.1 * noise(),
  pedal: (s) => s.pedal,
  ect: (s) => s.ectSensor,
  iat: (s) => s.iatSensor,
  lambda: (s, _r, noise) => s.wideband + 0.003 * noise(),
  lambdaTarget: (s) => s.lambdaTarget,
  stft1: (s) => 100 * s.trim1,
  stft2: (s) => 100 * s.trim2,
  ltft1: (s) => 100 * s.longNow1,
  ltft2: (s) => 100 * s.longNow2,
  o2v1: (s, _r, noise) => Math.max(0, s.o2v1 + 0.005 * noise()),
  o2v2: (s, _r, noise) => Math.max(0, s.o2v2 + 0.005 * noise()),
  closedLoop: (s) => (s.closedLoop ? 1 : 0),
  spark: (s) => s.spark - s.knockRetard,
  knockRetard: (s) => s.knockRetard,
  injMs: (s) => s.pulseMs,
  battery: (s, _r, noise) => s.batteryV + 0.03 * noise(),
  vss: (s, run) => s.speedMs * 3.6 * run.maps.speedScale,
  gear: (s) => s.gear,
  lockupDuty: (s) => Math.max(0, s.lockDuty),
  slip: (s, _r, noise) => (s.gear === 0 ? 0 : s.slipRpm + 2 * noise()),
  turbineRpm: (s) => s.turbineRpm,
  idleAirTarget: (s) => s.idleCommand,
  idleAirAdapt: (s) => s.idleAdapt,
  idleTarget: (s) => s.idleTarget,
  camSync: (s, run) => (s.synced && s.t >= run.camLostUntilS ? 1 : 0),
  crankCount: (s) => Math.floor(s.crankRevs),
  mapTarget: (s, run) =>
    Math.min(
      run.vehicle.ambient.pressureKpa + (run.vehicle.engine.turbo?.targetGaugeKpa ?? 0),
      Math.max(s.mapKpa, run.vehicle.ambient.pressureKpa * 0.3 + s.pedal * 1.6),
    ),
  torque: (s, run, noise) => s.torqueNm + 0.008 * run.mostNm * noise() * 0.5,
  linePressure: (s, run) => run.maps.linePressure(Math.max(0, s.torqueNm), s.gear),
};

/** Opening of the canister's valve: logged under a name that no dictionary has. */
function purgeDutyPercent(s: State, run: Run): number {
  const { purgeShare } = run.vehicle.tuning;
  return purgeShare === 0 || s.purge === 0 ? 0 : Math.min(95, (40 * s.purge) / (purgeShare * 0.12 * run.vehicle.engine.displacementL));
}

/** Takes rows from the running vehicle at the logger's own clock. */
export class Logger {
  readonly #format: LogFormat;
  readonly #run: Run;
  readonly #noise: () => number;
  readonly #uniform: () => number;
  readonly #signals: readonly { id: SignalId; source: Source; quantum: number; every: number; phase: number; values: number[] }[];
  readonly #times: number[] = [];
  readonly #oil: number[] = [];
  readonly #purge: number[] = [];
  #next = 0;
  #base = 0;
  #row = 0;

  constructor(format: LogFormat, run: Run, random: Random) {
    this.#format = format;
    this.#run = run;
    this.#noise = fastNormal(random);
    this.#uniform = () => random.uniform();
    const ids = (Object.keys(SOURCES) as SignalId[]).filter((id) => (format.everyRows[id] ?? 0) > 0);
    this.#signals = ids.map((id) => ({
      id,
      source: SOURCES[id]!,
      quantum: format.quantum[id] ?? 0,
      every: format.everyRows[id]!,
      phase: random.whole(0, format.everyRows[id]! - 1),
      values: [],
    }));
  }

  /** Called each step; takes a row when it is due. */
  offer(s: State): void {
    if (s.t < this.#next) return;
    const time = this.#row === 0 ? s.t : this.#next;
    if (this.#row === 0) this.#base = s.t;
    this.#times.push(time);
    for (const signal of this.#signals) {
      if ((this.#row + signal.phase) % signal.every !== 0) {
        signal.values.push(Number.NaN);
        continue;
      }
      const value =
        signal.id === "tp2" && this.#format.secondThrottleFalls ? 100 - signal.source(s, this.#run, this.#noise) : signal.source(s, this.#run, this.#noise);
      // Adding 0 turns the rounding's -0 into 0.
      signal.values.push(signal.quantum > 0 ? Math.round(value / signal.quantum) * signal.quantum + 0 : value);
    }
    this.#purge.push(this.#row % 4 === 0 ? Math.round(purgeDutyPercent(s, this.#run) * 10) / 10 : Number.NaN);
    this.#oil.push(this.#row % 20 === 0 ? Math.round(s.oilC) : Number.NaN);
    this.#row++;
    if (this.#uniform() < (this.#format.gapsPerMin / 60) * this.#format.intervalS) this.#base += 0.4 + 1.8 * this.#uniform();
    this.#next = this.#base + this.#row * this.#format.intervalS + this.#format.jitterS * Math.max(-2, Math.min(2, this.#noise()));
  }

  recording(name: string): Recording {
    const first = this.#times[0] ?? 0;
    const channels: Partial<Record<SignalId, Channel>> = {};
    for (const { id, values } of this.#signals) channels[id] = { signal: id, source: id, confidence: 1, values: Float64Array.from(values) };
    const others: OtherColumn[] = [
      { source: "Engine oil temperature", unit: "°C", values: Float64Array.from(this.#oil) },
      { source: "Purge duty", unit: "%", values: Float64Array.from(this.#purge) },
    ];
    return { file: `recordings/${name}.csv`, timeS: Float64Array.from(this.#times, (t) => t - first), channels, others, preamble: {}, repairs: [] };
  }
}

/** Steps by which controllers and diagnostic services report, common practice and J1979 scaling (trims and positions of 1/128 and 1/255). */
export function drawLogFormat(
  random: Random,
  run: {
    readonly outfit: {
      readonly wideband: boolean;
      readonly meter: boolean;
      readonly manifoldPressure: boolean;
      readonly torque: boolean;
      readonly secondThrottle: boolean;
    };
    readonly banks: 1 | 2;
    readonly automatic: boolean;
    readonly boosted: boolean;
  },
): LogFormat {
  const trim = random.chance(0.8) ? 100 / 128 : 0.1;
  const position = random.chance(0.75) ? 100 / 255 : 0.1;
  const mixed = random.chance(0.5);
  const rate = (fast: number): number => (mixed ? fast : 1);
  const two = run.banks === 2;
  const slowRow = random.whole(15, 26);
  const has = (yes: boolean, every: number): number => (yes ? every : 0);
  return {
    intervalS: random.pick([0.05, 0.06, 0.08, 0.1, 0.1]),
    jitterS: random.between(0.0005, 0.002),
    quantum: {
      rpm: random.chance(0.7) ? 0.25 : 1,
      map: random.chance(0.55) ? 1 : 0.1,
      baro: random.chance(0.7) ? 1 : 0.1,
      maf: 0.01,
      mafHz: 1,
      tp1: position,
      tp2: position,
      pedal: position,
      ect: 1,
      iat: 1,
      lambda: 0.001,
      lambdaTarget: random.chance(0.5) ? 0.0001 : 0.001,
      stft1: trim,
      stft2: trim,
      ltft1: trim,
      ltft2: trim,
      o2v1: 0.005,
      o2v2: 0.005,
      closedLoop: 1,
      spark: random.chance(0.6) ? 0.5 : 0.1,
      knockRetard: random.chance(0.5) ? 0.1 : 0.5,
      injMs: random.chance(0.7) ? 0.004 : 0.001,
      battery: random.chance(0.7) ? 0.1 : 0.02,
      vss: 1,
      gear: 1,
      lockupDuty: 100 / 255,
      slip: 1,
      turbineRpm: 1,
      idleAirTarget: 0.01,
      idleAirAdapt: 0.01,
      idleTarget: 12.5,
      camSync: 1,
      crankCount: 1,
      mapTarget: 1,
      torque: 1,
      linePressure: 5,
    },
    everyRows: {
      rpm: 1,
      map: has(run.outfit.manifoldPressure, 1),
      baro: slowRow + 9,
      maf: has(run.outfit.meter && random.chance(0.92), 1),
      mafHz: has(run.outfit.meter && random.chance(0.8), 1),
      tp1: 1,
      tp2: has(run.outfit.secondThrottle, rate(2)),
      pedal: rate(2),
      ect: rate(slowRow),
      iat: rate(slowRow),
      lambda: has(run.outfit.wideband, 1),
      lambdaTarget: rate(random.whole(1, 3)),
      stft1: rate(2),
      stft2: has(two, rate(2)),
      ltft1: rate(5),
      ltft2: has(two, rate(5)),
      o2v1: 1,
      o2v2: has(two, 1),
      closedLoop: rate(4),
      spark: rate(2),
      knockRetard: rate(2),
      injMs: has(random.chance(0.85), 1),
      battery: rate(4),
      vss: rate(4),
      gear: rate(3),
      lockupDuty: has(run.automatic, rate(4)),
      slip: has(run.automatic, rate(3)),
      turbineRpm: has(run.automatic && random.chance(0.8), rate(4)),
      idleAirTarget: rate(3),
      idleAirAdapt: rate(5),
      idleTarget: rate(12),
      camSync: rate(2),
      crankCount: rate(3),
      mapTarget: has(run.boosted, rate(2)),
      torque: has(run.outfit.torque, rate(3)),
      linePressure: has(run.automatic && random.chance(0.3), rate(4)),
    },
    secondThrottleFalls: random.chance(0.5),
    gapsPerMin: random.chance(0.4) ? random.between(0.03, 0.15) : 0,
  };
}
