import { median } from "../../base/index.ts";
import { linearisedFlowNumber, orificeFlowGpsPerMm2 } from "../physics/index.ts";
import type { Observations } from "../residuals/index.ts";
import type { Intake } from "../result/index.ts";
import { type Calibration, lookUpCurve, type Role } from "../tables/index.ts";
import type { OperatingPoint, ResidualChannel } from "./deviation.ts";

/** What is handed to the diagnosis. */
export interface DiagnosisInput {
  readonly observations: readonly Observations[];
  readonly calibration: Calibration | undefined;
  readonly reference: Calibration | undefined;
  readonly intake: Intake;
  /** How the vehicle was when it last left: then only what moved since is to be explained. */
  readonly earlier?: readonly EarlierPoint[];
}

/** A residual of an earlier visit of the same vehicle, less what a sound vehicle was expected to show then. */
export interface EarlierPoint {
  readonly channel: ResidualChannel;
  readonly at: OperatingPoint;
  readonly value: number;
  readonly sd: number;
}

/** Facts about the vehicle that stories and honest errors refer to. */
export interface Facts {
  readonly input: DiagnosisInput;
  readonly displacementL: number;
  readonly cylinders: number;
  readonly boosted: boolean;
  readonly camChanged: boolean;
  readonly injectorsChanged: boolean;
  readonly intakeTractChanged: boolean;
  readonly exhaustChanged: boolean;
  /** Airflow of the warm idle [g/s]: as seen, else from displacement. */
  readonly idleAirGps: number;
  readonly idleRpm: number;
  /** Flow through one mm² at idle [g/s per mm²]. */
  readonly idleGpsPerMm2: number;
  /** Opening that passes the idle air [mm²], and the slope of the area curve there [mm² per %]. */
  readonly idleMm2: number;
  readonly idleSlopeMm2: number;
  readonly baroKpa: number;
  /** Airflow that the engine would take at full load and high speed [g/s], and its fuel [g/s]. */
  readonly fullAirGps: number;
  readonly fullFuelGps: number;
  /** Whether a meter is fitted and its reading recorded. */
  readonly hasMeter: boolean;
  /** A meter is fitted and tabled but its reading was not recorded; above this speed the controller used it [rpm]. */
  readonly meterUnlogged: boolean;
  readonly meterAboveRpm: number;
  readonly hasTwoBanks: boolean;
  readonly hasTrims: boolean;
  readonly hasWideband: boolean;
  /** Whether the controller's own tables were handed in; and the air tables that have no reference, so that nobody knows whether they were edited. */
  readonly tablesKnown: boolean;
  readonly unreferenced: ReadonlySet<Role>;
  /** Roles whose cells differ from the reference by more than rounding. */
  readonly edited: ReadonlySet<Role>;
}

const CAM = /\bcam(shaft)?s?\b/i;
const INJECTOR = /inject/i;
const TRACT = /intake|air ?(box|filter|tube|duct|cleaner)|throttle|airflow|manifold|filter|supercharg|turbo/i;
const EXHAUST = /header|exhaust|manifold|catal|down ?pipe/i;

export function factsOf(input: DiagnosisInput): Facts {
  const { intake, observations } = input;
  const { displacementL, cylinders } = intake.engine;
  const changes = (intake.changes ?? []).join("; ");
  const idle = idleOf(observations);
  const baroKpa = orElse(median(observations.map((o) => median(o.baroKpa))), intake.ambient?.pressureKpa ?? 101.3);
  const hasMeter = intake.sensors?.airMeterFitted !== false && observations.some((o) => o.meterGps.some((v) => v > 0));
  const boosted = intake.engine.boosted === true;
  // About 1.5 g/s a litre, common practice; only used where no idle was recorded.
  const idleAirGps = orElse(idle.airGps, 1.45 * displacementL);
  const fullAirGps = (0.88 * displacementL * 5400 * (baroKpa * (boosted ? 1.6 : 1))) / (120 * 0.287 * 310);
  const upstreamK = 273.15 + orElse(idle.iatC, 25);
  const idleMapKpa = orElse(idle.mapKpa, 0.4 * baroKpa);
  const idleGpsPerMm2 = orificeFlowGpsPerMm2({ upstreamKpa: baroKpa, downstreamKpa: Math.min(idleMapKpa, 0.94 * baroKpa), upstreamK }, 0.95);
  const area = input.calibration?.byRole["throttle.area-curve"];
  const slopeMm2 =
    area === undefined ? Number.NaN : (lookUpCurve(area, idle.throttlePercent + 1) - lookUpCurve(area, Math.max(0, idle.throttlePercent - 1))) / 2;
  return {
    input,
    displacementL,
    cylinders,
    boosted,
    camChanged: intake.engine.camChanged === true || CAM.test(changes),
    injectorsChanged: INJECTOR.test(changes) || /unknown|unmarked|replaced/i.test(intake.injectors?.label ?? ""),
    intakeTractChanged: TRACT.test(changes.replace(/exhaust manifold/gi, "")) || /open|cone|short|larger|other|aftermarket/i.test(intake.engine.intake ?? ""),
    exhaustChanged: EXHAUST.test(changes),
    idleAirGps,
    idleRpm: orElse(idle.rpm, 750),
    idleGpsPerMm2,
    idleMm2: idleAirGps / idleGpsPerMm2,
    idleSlopeMm2: orElse(slopeMm2, idleAirGps / idleGpsPerMm2 / 4),
    baroKpa,
    fullAirGps,
    fullFuelGps: fullAirGps / 12.7,
    hasMeter,
    meterUnlogged: !hasMeter && intake.sensors?.airMeterFitted === true && input.calibration?.byRole["air.meter-curve"] !== undefined,
    meterAboveRpm: input.calibration?.byRole["air.model-switch-speed"]?.cells[0] ?? 0,
    hasTwoBanks: observations.some((o) => o.trim2Ln.some((v) => !Number.isNaN(v))),
    hasTrims: observations.some((o) => o.trim1Ln.some((v) => !Number.isNaN(v)) || o.trim2Ln.some((v) => !Number.isNaN(v))),
    hasWideband: intake.sensors?.widebandFitted !== false && observations.some((o) => o.lambda.some((v) => v > 0)),
    tablesKnown: input.calibration !== undefined,
    unreferenced: new Set((["air.ve", "air.meter-curve"] as const).filter((role) => input.reference?.byRole[role] === undefined)),
    edited: editedRoles(input.calibration, input.reference),
  };
}

function idleOf(observations: readonly Observations[]): { airGps: number; rpm: number; mapKpa: number; iatC: number; throttlePercent: number } {
  const throttles: number[] = [];
  const airs: number[] = [];
  const rpms: number[] = [];
  const maps: number[] = [];
  const iats: number[] = [];
  for (const o of observations)
    for (let i = 0; i < o.n; i++) {
      if (Number.isNaN(o.idleResidualGps[i]!) && !inWarmIdle(o, i)) continue;
      airs.push(o.meterGps[i]! > 0 ? o.meterGps[i]! : o.speedDensityGps[i]!);
      rpms.push(o.rpm[i]!);
      maps.push(o.mapKpa[i]!);
      iats.push(o.iatC[i]!);
      throttles.push(o.throttlePercent[i]!);
    }
  return { airGps: median(airs), rpm: median(rpms), mapKpa: median(maps), iatC: median(iats), throttlePercent: median(throttles) };
}

function inWarmIdle(o: Observations, i: number): boolean {
  const t = o.timeS[i]!;
  return o.moments.some((m) => m.kind === "warm-idle" && t >= m.fromS + 2 && t <= m.toS);
}

function orElse(value: number, other: number): number {
  return Number.isFinite(value) && value > 0 ? value : other;
}

function editedRoles(calibration: Calibration | undefined, reference: Calibration | undefined): ReadonlySet<Role> {
  const roles = new Set<Role>();
  if (calibration === undefined || reference === undefined) return roles;
  for (const [role, table] of Object.entries(calibration.byRole) as [Role, NonNullable<Calibration["byRole"][Role]>][]) {
    const factory = reference.byRole[role];
    if (factory === undefined) continue;
    const same =
      factory.cells.length === table.cells.length && factory.cells.every((cell, i) => Math.abs(cell - table.cells[i]!) <= 1e-6 + 0.004 * Math.abs(cell));
    if (!same) roles.add(role);
  }
  return roles;
}

/** Flow through one mm² from ambient into the manifold [g/s per mm²], negative where boost drives it out; steep end made straight. */
export function leakFlux(at: { baroKpa: number; mapKpa: number; iatK: number }): number {
  const outwards = at.mapKpa > at.baroKpa;
  const flux = orificeFlowGpsPerMm2({ upstreamKpa: Math.max(at.baroKpa, at.mapKpa), downstreamKpa: Math.min(at.baroKpa, at.mapKpa), upstreamK: at.iatK }, 0.95);
  return outwards ? -flux : flux;
}

/** d ln(flow number)/d ln(downstream pressure): 0 when sonic, strongly negative towards equal pressures (held at −8). */
export function fluxSlopeOf(ratio: number): number {
  if (!(ratio < 0.97)) return -8;
  const step = 1e-4;
  const slope = Math.log(linearisedFlowNumber(ratio * (1 + step), 0.95) / linearisedFlowNumber(ratio, 0.95)) / step;
  return Math.max(-8, slope);
}
