import { lastAtMost, median } from "../../base/index.ts";
import { controllerStoich, injectorDeadTimeMs, injectorFlowGps } from "../controller/index.ts";
import type { Observations } from "../residuals/index.ts";
import { lookUp, lookUpCurve } from "../tables/index.ts";
import type { OperatingPoint, ResidualChannel } from "./deviation.ts";
import { type Facts, fluxSlopeOf, leakFlux } from "./facts.ts";

/** Mean of one residual over the samples of one region of operation. */
export interface ResidualPoint {
  readonly channel: ResidualChannel;
  readonly value: number;
  /** Standard deviation of the mean: scatter over independent samples, rounding of the sensors and what the model leaves out. */
  readonly sd: number;
  readonly at: OperatingPoint;
  readonly effectiveCount: number;
  readonly seconds: number;
  readonly recording: string;
  /** Span of the recording where most of it was seen. */
  readonly fromS: number;
  readonly toS: number;
}

const RPM_EDGES = [0, 950, 1250, 1600, 2000, 2500, 3100, 3900, 4900, 6000];
/** Manifold pressure over ambient; where pressure is missing, airflow over the engine's full airflow. */
const LOAD_EDGES = [0, 0.28, 0.36, 0.44, 0.54, 0.66, 0.8, 0.92, 1.05, 1.3, 1.6];
const LEAST_SECONDS = 1.5;
/**
 * Samples of one region closer than this tell the same thing twice [s]: a switching loop swings about once a second or two. The
 * autocorrelation of a whole drive would count the residual's own dependence on operation as noise.
 */
const INDEPENDENT_S = 1.5;

interface Bin {
  readonly key: string;
  readonly recording: number;
  readonly indices: number[];
}

/** Residuals reduced to means over regions of speed, load, air model and loop, one point a residual and region. */
export function residualPoints(facts: Facts): readonly ResidualPoint[] {
  const { observations } = facts.input;
  const points: ResidualPoint[] = [];
  const merged = new Map<string, Bin[]>();
  for (const [r, o] of observations.entries()) for (const bin of binsOf(o, r, facts)) merged.set(bin.key, [...(merged.get(bin.key) ?? []), bin]);
  for (const key of [...merged.keys()].sort()) {
    const bins = merged.get(key)!;
    points.push(...pointsOfRegion(bins, observations, facts));
  }
  points.push(...restPoints(facts), ...fullLoadPoints(facts));
  return points;
}

function binsOf(o: Observations, recording: number, facts: Facts): Bin[] {
  const bins = new Map<string, Bin>();
  const warmC = warmFromC(o);
  const warmS = warmFromS(o);
  for (let i = 0; i < o.n; i++) {
    if (!(o.steadiness[i]! > 0.25) || o.ectC[i]! < warmC || o.timeS[i]! < warmS) continue;
    const load = Number.isNaN(o.mapKpa[i]!) ? o.meterGps[i]! / facts.fullAirGps : o.mapKpa[i]! / o.baroKpa[i]!;
    const rpm = o.rpm[i]!;
    if (Number.isNaN(load) || Number.isNaN(rpm)) continue;
    const idle = !Number.isNaN(o.idleResidualGps[i]!);
    const loop = o.closedLoop[i]! >= 0.5 ? "c" : "o";
    const key = `${idle ? "i" : "r"}${loop}${o.usesMeter[i] === 0 ? "d" : "m"}.${idle ? 0 : lastAtMost(RPM_EDGES, rpm)}.${lastAtMost(LOAD_EDGES, load)}`;
    let bin = bins.get(key);
    if (bin === undefined) {
      bin = { key, recording, indices: [] };
      bins.set(key, bin);
    }
    bin.indices.push(i);
  }
  return [...bins.values()];
}

/** Coolant from which an engine counts as warm [°C]; an engine that never gets hot is judged at its own warmest. */
function warmFromC(o: Observations): number {
  let hottest = Number.NEGATIVE_INFINITY;
  for (const ectC of o.ectC) if (ectC > hottest) hottest = ectC;
  return Math.min(68, hottest - 8);
}

/** Time on the recording's clock from which an engine without a coolant reading counts as warm [s]: a long recording may begin cold, a short one must serve. */
function warmFromS(o: Observations): number {
  const known = o.ectC.some((c) => !Number.isNaN(c));
  return known || o.n * o.dtS < 480 ? Number.NEGATIVE_INFINITY : o.timeS[0]! + 300;
}

function pointsOfRegion(bins: readonly Bin[], observations: readonly Observations[], facts: Facts): ResidualPoint[] {
  const seconds = bins.reduce((sum, bin) => sum + bin.indices.length * observations[bin.recording]!.dtS, 0);
  if (seconds < LEAST_SECONDS) return [];
  const at = operatingPoint(bins, observations, facts);
  if (isBelowTables(at, facts)) return [];
  const isIdle = bins[0]!.key.startsWith("i");
  const points: ResidualPoint[] = [];
  const add = (channel: ResidualChannel, of: (o: Observations, i: number) => number, floor: number, perSample: number, point: OperatingPoint = at): void => {
    const summary = robustMean(bins, observations, of);
    if (summary === undefined) return;
    const sd = Math.hypot(floor, Math.max(summary.sd, perSample) / Math.sqrt(summary.effectiveCount));
    points.push({ channel, value: summary.mean, sd, at: point, effectiveCount: summary.effectiveCount, seconds, ...spanOf(bins, observations) });
  };
  add("fuel", (o, i) => o.fuelResidual[i]!, at.closedLoopShare >= 0.5 ? 0.008 : 0.012, 0.02);
  add("bank", (o, i) => (o.closedLoop[i]! >= 0.5 ? o.trim1Ln[i]! - o.trim2Ln[i]! : Number.NaN), 0.008, 0.012);
  if (!Number.isNaN(at.mapKpa)) add("model", (o, i) => o.modelResidual[i]!, 0.01 + (at.mapKpa > 0.9 * at.baroKpa ? 0.01 : 0), 0.02);
  const ratio = at.mapKpa / at.baroKpa;
  // Ahead of a boosted engine's throttle the pressure is not ambient as soon as the compressor works.
  if (at.throttleMm2 > 0 && ratio < (facts.boosted ? 0.5 : 0.9) && Number.isFinite(at.leakGpsPerMm2)) {
    const positionSd = at.throttleSlopeMm2 * 0.2;
    add("throttle", (o, i) => throttleResidualMm2(o, i, facts), Math.hypot(0.02 * at.throttleMm2, positionSd), 0.05 * at.throttleMm2);
  }
  if (isIdle) {
    add("idle", (o, i) => o.idleResidualGps[i]!, 0.03 * facts.idleAirGps, 0.06 * facts.idleAirGps);
    // Gear engaged, lamps and air conditioning load the engine by turns: the need scatters from idle to idle.
    add("idle-need", (o, i) => idleNeedGps(o, i, facts), 0.15 * facts.idleAirGps, 0.06 * facts.idleAirGps);
  }
  return points;
}

/** On overrun without fuel cut, pressure lies under the VE table's lowest row, mixture is thin and nothing there is modelled. */
function isBelowTables(at: OperatingPoint, facts: Facts): boolean {
  const lowestKpa = facts.input.calibration?.byRole["air.ve"]?.y?.values[0] ?? 20;
  return at.rpm > 1.5 * facts.idleRpm && at.mapKpa < Math.max(lowestKpa + 1, 0.2 * at.baroKpa);
}

function operatingPoint(bins: readonly Bin[], observations: readonly Observations[], facts: Facts): OperatingPoint {
  const { calibration, intake } = facts.input;
  const centre = (of: (o: Observations, i: number) => number): number => {
    const values: number[] = [];
    for (const bin of bins) for (const i of bin.indices) values.push(of(observations[bin.recording]!, i));
    return median(values);
  };
  const rpm = centre((o, i) => o.rpm[i]!);
  const mapKpa = centre((o, i) => o.mapKpa[i]!);
  const baroKpa = centre((o, i) => o.baroKpa[i]!);
  const iatK =
    273.15 +
    orElse(
      centre((o, i) => o.iatC[i]!),
      25,
    );
  const airIsMetered = centre((o, i) => (o.meterGps[i]! > 0 ? 1 : 0)) > 0.5 && facts.hasMeter;
  const batteryV = orElse(
    centre((o, i) => o.batteryV[i]!),
    14,
  );
  const throttlePercent = centre((o, i) => o.throttlePercent[i]!);
  const throttleTable = calibration?.byRole["throttle.area-curve"];
  const airflowGps = centre((o, i) => (airIsMetered ? o.meterGps[i]! : o.speedDensityGps[i]!));
  const ve = calibration?.byRole["air.ve"];
  const lambdaTarget = orElse(
    centre((o, i) => o.lambdaTarget[i]!),
    1,
  );
  const bank = intake.sensors?.widebandBank;
  const vacuumKpa = Math.max(0, orElse(baroKpa - mapKpa, 40));
  const trimLn = orElse(
    centre((o, i) => o.trimLn[i]!),
    0,
  );
  const pulse = pulseOf(facts, { loggedMs: centre((o, i) => o.injMs[i]!), airflowGps, rpm, batteryV, vacuumKpa, lambdaTarget, trimLn });
  return {
    rpm,
    mapKpa,
    baroKpa,
    iatK,
    airflowGps,
    fuelGps: airflowGps / (14.5 * lambdaTarget),
    ...pulse,
    batteryV,
    throttlePercent,
    throttleMm2: throttleTable === undefined ? Number.NaN : lookUpCurve(throttleTable, throttlePercent),
    throttleSlopeMm2:
      throttleTable === undefined
        ? Number.NaN
        : (lookUpCurve(throttleTable, throttlePercent + 1) - lookUpCurve(throttleTable, Math.max(0, throttlePercent - 1))) / 2,
    leakGpsPerMm2: Number.isNaN(mapKpa) ? facts.idleGpsPerMm2 : leakFlux({ baroKpa, mapKpa, iatK }),
    fluxSlope: Number.isNaN(mapKpa) ? 0 : fluxSlopeOf(mapKpa / baroKpa),
    densitySlope:
      ve === undefined || Number.isNaN(mapKpa) ? 1.1 : 1 + Math.log(lookUp(ve, rpm, mapKpa * 1.05) / lookUp(ve, rpm, mapKpa / 1.05)) / (2 * Math.log(1.05)),
    meterShare: facts.meterUnlogged ? (rpm > facts.meterAboveRpm ? 1 : 0) : centre((o, i) => (o.usesMeter[i] === 0 ? 0 : 1)),
    closedLoopShare: centre((o, i) => (o.closedLoop[i]! >= 0.5 ? 1 : 0)),
    commandedGps: centre((o, i) => (Number.isNaN(o.idleResidualGps[i]!) ? Number.NaN : o.idleAirTargetGps[i]!)),
    airIsMetered,
    bank: facts.hasTwoBanks && bank !== undefined ? bank : 0,
  };
}

/** Dead time of an ordinary injector at charging voltage [ms]. Common practice, no published source. */
const USUAL_DEAD_MS = 0.9;

/** Pulse width and its open part: logged, or what the controller must have commanded for this air by its own tables. @source PH-05 */
function pulseOf(
  facts: Facts,
  at: { loggedMs: number; airflowGps: number; rpm: number; batteryV: number; vacuumKpa: number; lambdaTarget: number; trimLn: number },
): { pulseMs: number; openMs: number } {
  const { calibration } = facts.input;
  if (calibration === undefined) return { pulseMs: at.loggedMs, openMs: at.loggedMs - USUAL_DEAD_MS * (13.8 / Math.max(at.batteryV, 9)) ** 1.2 };
  const deadMs = injectorDeadTimeMs(calibration, at.batteryV, at.vacuumKpa);
  if (!Number.isNaN(at.loggedMs)) return { pulseMs: at.loggedMs, openMs: at.loggedMs - deadMs };
  const fuelGps = (at.airflowGps * Math.exp(at.trimLn)) / (controllerStoich(calibration) * at.lambdaTarget);
  const openMs = (fuelGps * 120_000) / (facts.cylinders * at.rpm * injectorFlowGps(calibration, at.vacuumKpa));
  return { pulseMs: openMs + deadMs, openMs };
}

/** Metered (else speed-density) flow expressed as throttle opening, less the opening that the area curve promises [mm²]. */
function throttleResidualMm2(o: Observations, i: number, facts: Facts): number {
  const table = facts.input.calibration?.byRole["throttle.area-curve"];
  if (table === undefined) return Number.NaN;
  const airGps = facts.hasMeter ? o.meterGps[i]! : o.speedDensityGps[i]!;
  const mapKpa = o.mapKpa[i]!;
  const baroKpa = o.baroKpa[i]!;
  if (!(mapKpa / baroKpa < 0.93)) return Number.NaN;
  return airGps / leakFlux({ baroKpa, mapKpa, iatK: 273.15 + orElse(o.iatC[i]!, 25) }) - lookUpCurve(table, o.throttlePercent[i]!);
}

/** Idle airflow that the controller ends up commanding beyond the base table's [g/s]; without the table, its learned part. */
function idleNeedGps(o: Observations, i: number, facts: Facts): number {
  if (Number.isNaN(o.idleResidualGps[i]!)) return Number.NaN;
  const table = facts.input.calibration?.byRole["idle.base-airflow"];
  if (table === undefined || Number.isNaN(o.ectC[i]!)) return o.idleAirAdaptGps[i]!;
  return o.idleAirTargetGps[i]! - lookUpCurve(table, o.ectC[i]!);
}

/** Steadiness-weighted mean without the outer scatter (Huber), its standard deviation per sample and the independent samples behind it. */
function robustMean(
  bins: readonly Bin[],
  observations: readonly Observations[],
  of: (o: Observations, i: number) => number,
): { mean: number; sd: number; effectiveCount: number } | undefined {
  const values: number[] = [];
  const weights: number[] = [];
  let effectiveCount = 0;
  for (const bin of bins) {
    const o = observations[bin.recording]!;
    const share = Math.min(1, o.dtS / INDEPENDENT_S);
    for (const i of bin.indices) {
      const value = of(o, i);
      if (!Number.isFinite(value)) continue;
      values.push(value);
      weights.push(o.steadiness[i]!);
      effectiveCount += o.steadiness[i]! * share;
    }
  }
  if (values.length < 5) return undefined;
  const centre = median(values);
  const scale = 1.4826 * median(values.map((v) => Math.abs(v - centre))) + 1e-9;
  let sum = 0;
  let total = 0;
  let squares = 0;
  for (const [k, value] of values.entries()) {
    const z = Math.abs(value - centre) / (1.5 * scale);
    const weight = weights[k]! * (z <= 1 ? 1 : 1 / z);
    sum += weight * value;
    total += weight;
    squares += weight * (value - centre) ** 2;
  }
  return { mean: sum / total, sd: Math.sqrt(squares / total), effectiveCount: Math.max(1, effectiveCount) };
}

/** The longest unbroken stay in a region, gaps under a second and a half bridged. */
function spanOf(bins: readonly Bin[], observations: readonly Observations[]): { recording: string; fromS: number; toS: number } {
  let best = { recording: observations[bins[0]!.recording]!.recording.file, fromS: 0, toS: -1 };
  for (const bin of bins) {
    const o = observations[bin.recording]!;
    const bridge = 1.5 / o.dtS;
    let from = bin.indices[0]!;
    for (let k = 0; k < bin.indices.length; k++) {
      const here = bin.indices[k]!;
      const next = bin.indices[k + 1];
      if (next !== undefined && next - here <= bridge) continue;
      if (o.timeS[here]! - o.timeS[from]! > best.toS - best.fromS) best = { recording: o.recording.file, fromS: o.timeS[from]!, toS: o.timeS[here]! };
      if (next !== undefined) from = next;
    }
  }
  return best;
}

/** Manifold pressure with the engine at rest against what else tells ambient pressure. */
function restPoints(facts: Facts): ResidualPoint[] {
  const points: ResidualPoint[] = [];
  const ambientKpa = facts.input.intake.ambient?.pressureKpa;
  for (const o of facts.input.observations) {
    const rest: number[] = [];
    for (let i = 0; i < o.n; i++) {
      if (o.rpm[i]! > 30) break;
      if (o.rpm[i]! <= 30 && !Number.isNaN(o.mapKpa[i]!)) rest.push(i);
    }
    if (rest.length < 3) continue;
    const mapKpa = median(rest.map((i) => o.mapKpa[i]!));
    const logged = o.recording.channels.baro === undefined ? Number.NaN : median(rest.map((i) => o.baroKpa[i]!));
    const span = { recording: o.recording.file, fromS: o.timeS[rest[0]!]!, toS: o.timeS[rest[rest.length - 1]!]! };
    const seconds = rest.length * o.dtS;
    for (const [ambient, sd] of [
      [logged, 0.9],
      [ambientKpa ?? Number.NaN, 1.3],
    ] as const)
      if (!Number.isNaN(ambient))
        points.push({ channel: "map-at-rest", value: mapKpa - ambient, sd, at: atRest(mapKpa, ambient, facts), effectiveCount: 1, seconds, ...span });
  }
  return points;
}

/** A filter and an open throttle cost a kilopascal or four at full flow. @source common-practice; RT-15 */
const FULL_LOAD_DROP_KPA = 2.5;

function fullLoadPoints(facts: Facts): ResidualPoint[] {
  if (facts.boosted) return [];
  const points: ResidualPoint[] = [];
  for (const o of facts.input.observations) {
    const samples: number[] = [];
    for (let i = 0; i < o.n; i++) if (o.throttlePercent[i]! > 85 && o.rpm[i]! > 2000 && o.mapKpa[i]! > 0.8 * o.baroKpa[i]!) samples.push(i);
    if (samples.length * o.dtS < 1) continue;
    const mapKpa = median(samples.map((i) => o.mapKpa[i]!));
    const baroKpa = median(samples.map((i) => o.baroKpa[i]!));
    const flowShare = Math.min(1.2, median(samples.map((i) => o.meterGps[i]! || o.speedDensityGps[i]!)) / facts.fullAirGps);
    const dropKpa = FULL_LOAD_DROP_KPA * orElse(flowShare, 0.5) ** 2;
    const span = { recording: o.recording.file, fromS: o.timeS[samples[0]!]!, toS: o.timeS[samples[samples.length - 1]!]! };
    points.push({
      channel: "map-at-full-load",
      value: mapKpa - baroKpa + dropKpa,
      sd: 2,
      at: atRest(mapKpa, baroKpa, facts),
      effectiveCount: 1,
      seconds: samples.length * o.dtS,
      ...span,
    });
  }
  return points;
}

function atRest(mapKpa: number, baroKpa: number, facts: Facts): OperatingPoint {
  return {
    rpm: 0,
    mapKpa,
    baroKpa,
    iatK: 298,
    airflowGps: 0,
    fuelGps: 0,
    pulseMs: Number.NaN,
    openMs: Number.NaN,
    batteryV: Number.NaN,
    throttlePercent: Number.NaN,
    throttleMm2: Number.NaN,
    throttleSlopeMm2: Number.NaN,
    leakGpsPerMm2: facts.idleGpsPerMm2,
    fluxSlope: 0,
    densitySlope: 1,
    meterShare: 0,
    closedLoopShare: 0,
    commandedGps: Number.NaN,
    airIsMetered: facts.hasMeter,
    bank: 0,
  };
}

function orElse(value: number, other: number): number {
  return Number.isFinite(value) ? value : other;
}
