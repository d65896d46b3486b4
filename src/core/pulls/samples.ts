import { median } from "../../base/index.ts";
import { type CoastDownForce, coastDownForceN, engineRpm, equivalentMassKg, forcePowerKw, speedKmh } from "../physics/index.ts";
import { channelValues, type Recording } from "../recordings/index.ts";
import type { Intake } from "../result/index.ts";
import { drivelineOfSweep, type SweepDriveline } from "./driveline-of-sweep.ts";
import type { SweepNotes } from "./preamble.ts";
import { blockMeans, fillBetween, localSlope, withoutSpikes } from "./series.ts";

/** How power was had: force and speed of a roller, the rollers' inertia and speed alone, or a road with mass and road load. */
export type PowerSource = "roller force" | "roller inertia" | "road";

/** Power and speeds of a whole sweep file, spikes taken out, shape (n) each. */
export interface SweepSamples {
  readonly timeS: Float64Array;
  readonly kmh: Float64Array;
  readonly rpm: Float64Array;
  readonly forceN: Float64Array;
  /** Uncorrected power at the roller, or at the driven wheels on the road. */
  readonly powerKw: Float64Array;
  readonly source: PowerSource;
  readonly driveline: SweepDriveline;
  /** Instants of samples that were spikes of the instrument and were bridged. */
  readonly spikesS: readonly number[];
  readonly remarks: readonly string[];
}

/** Faster recordings are brought to this spacing by means of neighbours [s]: short against every event of the engine. */
const LEAST_SPACING_S = 0.04;

/** What a road recording needs: coast-down force, and turning parts counted as mass. */
export interface RoadLoad {
  readonly coastDown: CoastDownForce;
  readonly rotatingFactor?: number;
}

/** Half width of the parabola that gives acceleration where no force was measured: speed is counted in coarse steps [s]. */
const ACCELERATION_HALF_S = 0.4;

interface Speeds {
  readonly timeS: Float64Array;
  readonly kmh: Float64Array;
  readonly rpm: Float64Array;
  readonly driveline: SweepDriveline;
}

/** A line that says what is lacking, where power or speed cannot be had. */
export interface CannotReckon {
  readonly lacking: string;
}

const isLacking = <T extends object>(value: T | CannotReckon): value is CannotReckon => "lacking" in value;

/** Rows on which everything else is laid: those with a sample of force, else of speed. */
function baseRows(recording: Recording): Float64Array | undefined {
  const base = channelValues(recording, "rollerForceN") ?? channelValues(recording, "rollerKmh") ?? channelValues(recording, "vss");
  return base === undefined ? undefined : recording.timeS.filter((_, i) => !Number.isNaN(base[i]!));
}

function speedsOf(recording: Recording, notes: SweepNotes, intake: Intake): Speeds | CannotReckon {
  const timeS = baseRows(recording) ?? recording.timeS;
  const on = (signal: "rpm" | "rollerKmh" | "vss"): Float64Array | undefined => {
    const values = channelValues(recording, signal);
    return values === undefined ? undefined : fillBetween(recording.timeS, values, timeS);
  };
  const rpm = on("rpm");
  const kmh = on("rollerKmh") ?? on("vss");
  if (kmh !== undefined) {
    const driveline = drivelineOfSweep(notes, intake, rpm, kmh);
    if (rpm !== undefined) return { timeS, kmh, rpm, driveline };
    const { listedRevsPerKm } = driveline;
    if (listedRevsPerKm === undefined) return { lacking: "engine speed, or gear, axle ratio and tyre to reckon it from roller speed" };
    return { timeS, kmh, rpm: kmh.map((v) => engineRpm(v, { gearRatio: 1, axleRatio: 1, tireRevsPerKm: listedRevsPerKm })), driveline };
  }
  if (rpm === undefined) return { lacking: "roller speed, road speed or engine speed" };
  const driveline = drivelineOfSweep(notes, intake, undefined, rpm);
  const { listedRevsPerKm } = driveline;
  if (listedRevsPerKm === undefined) return { lacking: "roller speed, or gear, axle ratio and tyre to reckon it from engine speed" };
  const asSpeed = { gearRatio: 1, axleRatio: 1, tireRevsPerKm: listedRevsPerKm };
  return {
    timeS,
    rpm,
    kmh: rpm.map((n) => speedKmh(n, asSpeed)),
    driveline: { ...driveline, remarks: [`roller speed is not in the file: reckoned from engine speed`] },
  };
}

/** Mass that the rollers count as [kg], or undefined where the notes do not tell. */
export function rollerMassKg(notes: SweepNotes): number | undefined {
  if (notes.rollerMassKg !== undefined) return notes.rollerMassKg;
  return notes.rollerInertiaKgM2 !== undefined && notes.rollerRadiusM !== undefined
    ? equivalentMassKg(notes.rollerInertiaKgM2, notes.rollerRadiusM)
    : undefined;
}

/** Slope of force on acceleration [kg]: near the rollers' mass where the force holds their inertia, near nothing where it does not. */
function massSeenByForceKg(forceN: Float64Array, accelerationMs2: Float64Array): number {
  const [f, a] = [median(forceN), median(accelerationMs2)];
  let along = 0;
  let square = 0;
  for (let i = 0; i < forceN.length; i++) {
    along += (forceN[i]! - f) * (accelerationMs2[i]! - a);
    square += (accelerationMs2[i]! - a) ** 2;
  }
  return along / square;
}

/** Reckons power from what the file holds. Force comes first, then the rollers' inertia alone, then the road. */
export function samplesOfSweep(recording: Recording, notes: SweepNotes, intake: Intake, road?: RoadLoad): SweepSamples | CannotReckon {
  const speeds = speedsOf(recording, notes, intake);
  if (isLacking(speeds)) return speeds;
  const force = forceOf(recording, notes, intake, speeds, road);
  if (isLacking(force)) return force;
  const clean = withoutSpikes(force.forceN);
  const thin = blockMeans({ timeS: speeds.timeS, kmh: speeds.kmh, rpm: speeds.rpm, forceN: clean.values }, LEAST_SPACING_S);
  return {
    ...thin,
    powerKw: thin.forceN.map((f, i) => forcePowerKw(f, thin.kmh[i]!)),
    source: force.source,
    driveline: speeds.driveline,
    spikesS: clean.rows.map((row) => speeds.timeS[row]!),
    remarks: [...speeds.driveline.remarks, ...force.remarks],
  };
}

interface Force {
  readonly forceN: Float64Array;
  readonly source: PowerSource;
  readonly remarks: readonly string[];
}

function forceOf(recording: Recording, notes: SweepNotes, intake: Intake, speeds: Speeds, road: RoadLoad | undefined): Force | CannotReckon {
  const recorded = channelValues(recording, "rollerForceN");
  const massKg = rollerMassKg(notes);
  const accelerationMs2 = (): Float64Array =>
    localSlope(
      speeds.timeS,
      speeds.kmh.map((v) => v / 3.6),
      ACCELERATION_HALF_S,
    );
  if (recorded !== undefined) return rollerForce(fillBetween(recording.timeS, recorded, speeds.timeS), notes, massKg, accelerationMs2);
  if (massKg !== undefined)
    return {
      forceN: accelerationMs2().map((a) => massKg * a),
      source: "roller inertia",
      remarks: [
        `no force in the file: power from the rollers' inertia alone (${massKg.toFixed(0)} kg at the surface); what turns in the vehicle and the tyres' loss are not in it`,
      ],
    };
  const vehicleKg = notes.vehicleMassKg ?? intake.vehicle?.massKg;
  if (vehicleKg === undefined) return { lacking: "roller force, the rollers' inertia, or the vehicle's mass for a road recording" };
  if (road === undefined) return { lacking: "roller force, the rollers' inertia, or a coast-down from which the road load of a road recording follows" };
  const movingKg = vehicleKg * (road.rotatingFactor ?? 1);
  const a = accelerationMs2();
  return {
    forceN: speeds.kmh.map((v, i) => movingKg * a[i]! + coastDownForceN(road.coastDown, v)),
    source: "road",
    remarks: ["from a road recording: grade and wind are not known; run both ways and take the mean"],
  };
}

function rollerForce(forceN: Float64Array, notes: SweepNotes, massKg: number | undefined, accelerationMs2: () => Float64Array): Force {
  const source = "roller force";
  if (notes.isInertiaInForce === true) return { forceN, source, remarks: [] };
  if (massKg === undefined) {
    const said = notes.isInertiaInForce === false;
    const remark = said
      ? "the file says that the rollers' inertia is not in the force, and does not give it: power reads low by what accelerates the rollers"
      : "the file does not say whether the rollers' inertia is in the force; taken as included";
    return { forceN, source, remarks: [remark] };
  }
  const a = accelerationMs2();
  const isIncluded = notes.isInertiaInForce === undefined && massSeenByForceKg(forceN, a) > massKg / 2;
  if (isIncluded) return { forceN, source, remarks: ["the force follows the rollers' acceleration: their inertia is taken as included"] };
  return {
    forceN: forceN.map((f, i) => f + massKg * a[i]!),
    source,
    remarks: [`the rollers' inertia (${massKg.toFixed(0)} kg at the surface) was added to the force`],
  };
}
