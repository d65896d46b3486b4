import { median } from "../../base/index.ts";
import { engineRevsPerKm } from "../physics/index.ts";
import type { Intake } from "../result/index.ts";
import type { SweepNotes } from "./preamble.ts";

/** Gear and overall ratio of a sweep. `measuredRevsPerKm` where engine speed was recorded, `listedRevsPerKm` where the intake sheet has the ratios. */
export interface SweepDriveline {
  readonly gear?: number;
  readonly gearRatio?: number;
  readonly measuredRevsPerKm?: number;
  readonly listedRevsPerKm?: number;
  /** Measured over listed; 1.03 is 3 % more engine turns a kilometre than the intake sheet says. */
  readonly ratioToListed?: number;
  /** Axle ratio by the two speeds, with gear and tyre as listed; and the listed one. */
  readonly axleRatio?: number;
  readonly listedAxleRatio?: number;
  readonly remarks: readonly string[];
}

interface Listed {
  readonly gearRatios: readonly number[];
  readonly axleRatio: number;
  readonly tireRevsPerKm: number;
}

function listedOf(notes: SweepNotes, intake: Intake): Partial<Listed> {
  const { vehicle } = intake;
  return {
    gearRatios: vehicle?.gearRatios,
    axleRatio: notes.axleRatio ?? vehicle?.axleRatio,
    tireRevsPerKm: notes.tireRevsPerKm ?? vehicle?.tireRevsPerKm,
  };
}

/** Engine turns a kilometre as recorded [1/km]: median of rpm over speed; NaN where either is missing. */
export function measuredRevsPerKm(rpm: Float64Array, kmh: Float64Array): number {
  return median(rpm.map((value, i) => (kmh[i]! > 10 ? (60 * value) / kmh[i]! : Number.NaN)));
}

/** The gear whose ratio lies nearest to an overall ratio, by its logarithm. */
function nearestGear(listed: Listed, revsPerKm: number): number {
  const distance = (ratio: number): number => Math.abs(Math.log(revsPerKm / engineRevsPerKm({ ...listed, gearRatio: ratio })));
  let best = 0;
  for (let i = 1; i < listed.gearRatios.length; i++) if (distance(listed.gearRatios[i]!) < distance(listed.gearRatios[best]!)) best = i;
  return best + 1;
}

/** The gear that sweeps are usually made in: the ratio nearest 1, where the gearbox loses least. */
function directGear(gearRatios: readonly number[]): number {
  let best = 0;
  for (let i = 1; i < gearRatios.length; i++) if (Math.abs(Math.log(gearRatios[i]!)) < Math.abs(Math.log(gearRatios[best]!))) best = i;
  return best + 1;
}

/** Recovers gear and ratio of a sweep from its notes, its speeds and the intake sheet; contradictions become remarks. */
export function drivelineOfSweep(notes: SweepNotes, intake: Intake, rpm: Float64Array | undefined, kmh: Float64Array): SweepDriveline {
  const listed = listedOf(notes, intake);
  const isListed = listed.gearRatios !== undefined && listed.axleRatio !== undefined && listed.tireRevsPerKm !== undefined;
  const remarks: string[] = [];
  if (rpm !== undefined) return fromBoth(measuredRevsPerKm(rpm, kmh), isListed ? (listed as Listed) : undefined, notes, remarks);
  if (listed.axleRatio === undefined || listed.tireRevsPerKm === undefined) return { gear: notes.gear, remarks };
  const gear = notes.gear ?? (listed.gearRatios === undefined ? undefined : directGear(listed.gearRatios));
  const gearRatio = notes.gearRatio ?? (gear === undefined ? undefined : listed.gearRatios?.[gear - 1]);
  if (gearRatio === undefined) return { gear, remarks };
  if (notes.gear === undefined && notes.gearRatio === undefined)
    remarks.push(`the file names no gear: gear ${gear} (ratio ${gearRatio}) assumed, the one nearest to direct; torque and speeds hang on it, power does not`);
  const listedRevsPerKm = engineRevsPerKm({ gearRatio, axleRatio: listed.axleRatio, tireRevsPerKm: listed.tireRevsPerKm });
  remarks.push(
    `engine speed is not in the file: reckoned from roller speed with gear ratio ${gearRatio}, axle ${listed.axleRatio}, ${listed.tireRevsPerKm} tyre turns a km`,
  );
  return { gear, gearRatio, listedRevsPerKm, remarks };
}

function fromBoth(measured: number, listed: Listed | undefined, notes: SweepNotes, remarks: string[]): SweepDriveline {
  if (listed === undefined || Number.isNaN(measured)) return { gear: notes.gear, measuredRevsPerKm: measured, remarks };
  const recovered = nearestGear(listed, measured);
  const gear = notes.gear !== undefined && listed.gearRatios[notes.gear - 1] !== undefined ? notes.gear : recovered;
  const gearRatio = notes.gearRatio ?? listed.gearRatios[gear - 1]!;
  if (gear !== recovered) remarks.push(`the file says gear ${gear}, the speeds fit gear ${recovered} better`);
  const listedRevsPerKm = engineRevsPerKm({ ...listed, gearRatio });
  const ratioToListed = measured / listedRevsPerKm;
  const axleRatio = listed.axleRatio * ratioToListed;
  return { gear, gearRatio, measuredRevsPerKm: measured, listedRevsPerKm, ratioToListed, axleRatio, listedAxleRatio: listed.axleRatio, remarks };
}
