import { channelValues, type Recording } from "../recordings/index.ts";
import type { Intake } from "../result/index.ts";
import { analysePull, type PullAnalysis } from "./analyse.ts";
import { type CoastDown, type DrivelineLoss, fitCoastDown } from "./coast-down.ts";
import { readSweepNotes } from "./preamble.ts";
import { rollerMassKg } from "./samples.ts";

/** All sweeps of a vehicle on one calibration, and where their coast-down may lie. */
export interface SweepsInput {
  readonly pulls: readonly Recording[];
  readonly recordings: readonly Recording[];
  readonly intake: Intake;
  /** Id of the power standard; left out: the intake sheet's, else SAE J1349. */
  readonly standard?: string;
  readonly fullLoadLambda?: (rpm: number) => number;
}

/** A file that says in its name what it is. */
const COAST_DOWN_NAME = /coast.?down|roll.?out/i;
/** Turning parts counted as mass where the vehicle rolls on the road in neutral; common practice, no published source. */
const ROTATING_FACTOR = 1.04;

interface FoundCoastDown {
  readonly file: string;
  readonly coastDown?: CoastDown;
  readonly onRoad: boolean;
  readonly remark?: string;
}

/**
 * Reckons all sweeps with the standard, the loss and the coast-down that the intake sheet names. A coast-down on rollers gives the loss of
 * tyres and driveline; one on the road gives the road load that a road recording needs.
 *
 * @throws RangeError for an unknown `standard`; one of the intake sheet is remarked upon instead
 */
export function analysePulls(input: SweepsInput): readonly PullAnalysis[] {
  const { intake, standard, fullLoadLambda } = input;
  const coast = coastDownOf(input);
  const loss = lossOf(intake, coast);
  const road = coast?.onRoad === true && coast.coastDown !== undefined ? { coastDown: coast.coastDown.force, rotatingFactor: ROTATING_FACTOR } : undefined;
  const sweeps = input.pulls.filter((sweep) => sweep.file !== coast?.file);
  return sweeps.map((sweep) => {
    const pull = analysePull(sweep, { intake, standard, fullLoadLambda, loss, road });
    if (coast?.remark === undefined || pull.result === undefined) return pull;
    const remarks = [...pull.remarks, coast.remark];
    return { ...pull, remarks, result: { ...pull.result, remarks } };
  });
}

function lossOf(intake: Intake, coast: FoundCoastDown | undefined): DrivelineLoss | undefined {
  if (coast?.coastDown !== undefined && !coast.onRoad) return { kind: "coast-down", file: coast.file, coastDown: coast.coastDown };
  const percent = intake.dynamometer?.lossPercent;
  return percent === undefined ? undefined : { kind: "stated", percent };
}

function coastDownOf({ pulls, recordings, intake }: SweepsInput): FoundCoastDown | undefined {
  const named = intake.dynamometer?.coastDown;
  const all = [...pulls, ...recordings];
  const recording =
    named === undefined ? all.find(({ file }) => COAST_DOWN_NAME.test(file)) : all.find(({ file }) => file === named || file.endsWith(`/${named}`));
  if (recording === undefined)
    return named === undefined
      ? undefined
      : { file: named, onRoad: false, remark: `the coast-down ${named} is not among the files: no loss was reckoned from it` };
  const { file } = recording;
  const onRoad = channelValues(recording, "rollerKmh") === undefined;
  const massKg = coastingMassKg(recording, pulls, intake, onRoad);
  if (massKg === undefined)
    return {
      file,
      onRoad,
      remark: `${file}: the mass that coasts is not known (rollers' inertia, or coastDownMassKg on the intake sheet): no loss was reckoned from it`,
    };
  const coastDown = fitCoastDown(recording, massKg);
  return coastDown === undefined
    ? { file, onRoad, remark: `${file}: less than 3 s and 15 km/h of coasting were found in it: no loss was reckoned from it` }
    : { file, onRoad, coastDown };
}

function coastingMassKg(recording: Recording, pulls: readonly Recording[], intake: Intake, onRoad: boolean): number | undefined {
  const stated = intake.dynamometer?.coastDownMassKg;
  if (stated !== undefined) return stated;
  if (onRoad) {
    const vehicleKg = readSweepNotes(recording.preamble).vehicleMassKg ?? intake.vehicle?.massKg;
    return vehicleKg === undefined ? undefined : ROTATING_FACTOR * vehicleKg;
  }
  return [recording, ...pulls].map((one) => rollerMassKg(readSweepNotes(one.preamble))).find((kg) => kg !== undefined);
}
