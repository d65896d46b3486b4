import { type AmbientAir, dryPressureKpa } from "../physics/index.ts";
import type { Recording } from "../recordings/index.ts";
import type { Intake, PullResult } from "../result/index.ts";
import { ambientOfSweep, type SweepAmbient } from "./ambient.ts";
import { type DrivelineLoss, flywheelFigures } from "./coast-down.ts";
import { curveOfSweep, type Peak, type PullCurve, peakOf } from "./curve.ts";
import { eventsOfSweep, type SweepEvent, signalsOfSweep } from "./events/index.ts";
import { readSweepNotes, type SweepNotes } from "./preamble.ts";
import { type PullReadings, READING_LAG_S, readingsOfSweep } from "./reading.ts";
import { type RoadLoad, type SweepSamples, samplesOfSweep } from "./samples.ts";
import { type SweepSpan, spanOfSweep } from "./span.ts";
import { POWER_STANDARDS, type PowerStandard, powerStandard, type Validity } from "./standards/index.ts";

/** What an analysis of a sweep may be told besides the recording. */
export interface PullOptions {
  readonly intake: Intake;
  /** Id of the power standard; left out: SAE J1349. */
  readonly standard?: string;
  /** For a road recording: its road load, from a coast-down. */
  readonly road?: RoadLoad;
  /** What lies between flywheel and rollers, where it is known or stated. */
  readonly loss?: DrivelineLoss;
  /** Lambda that the calibration asks for at full load, where it is known. */
  readonly fullLoadLambda?: (rpm: number) => number;
}

/** A sweep reckoned: the contract's figures, the series for the picture, and what was done on the way. */
export interface PullAnalysis {
  readonly file: string;
  /** Absent where the file does not hold enough; `couldNot` then says what lacks. */
  readonly result?: PullResult;
  readonly couldNot: readonly string[];
  readonly standard: PowerStandard;
  readonly factor: number;
  readonly validity: Validity;
  readonly air: AmbientAir | undefined;
  readonly notes: SweepNotes;
  readonly samples?: SweepSamples;
  readonly span?: SweepSpan;
  readonly readings?: PullReadings;
  readonly curve?: PullCurve;
  /** Peaks of the smooth curve: what the engine holds over the smoothing window, with their standard deviation. */
  readonly sustained?: { readonly power: Peak; readonly torque: Peak };
  /** Lean, knock, duty, pressure, slip, heat: what the watchers saw, by time. */
  readonly events: readonly SweepEvent[];
  readonly remarks: readonly string[];
}

/** Reckons one sweep. Data that do not suffice give `couldNot` lines, never an exception. @throws RangeError for an unknown standard */
export function analysePull(recording: Recording, options: PullOptions): PullAnalysis {
  const standard = standardOf(options);
  const notes = readSweepNotes(recording.preamble);
  const ambient = ambientOfSweep(notes, recording, options.intake);
  const { air } = ambient;
  const base = {
    file: recording.file,
    standard: air === undefined ? powerStandard("none") : standard,
    factor: air === undefined ? 1 : standard.factor(air),
    validity: air === undefined ? ("yes" as const) : standard.validity(air),
    air,
    notes,
    events: [],
  };
  const samples = samplesOfSweep(recording, notes, options.intake, options.road);
  if ("lacking" in samples) return { ...base, couldNot: [`${recording.file}: power was left out; it lacks ${samples.lacking}`], remarks: ambient.remarks };
  const span = spanOfSweep(samples);
  const lacksSweep = [`${recording.file}: power was left out; no rise of speed under full load was found in it`];
  if (span === undefined) return { ...base, couldNot: lacksSweep, samples, remarks: ambient.remarks };
  const curve = curveOfSweep(samples, span, base.factor);
  const readings = readingsOfSweep(samples, span, base.factor, curve);
  const sustained = curve && sustainedPeaks(curve);
  const peaks = headlinePeaks(samples, readings, sustained);
  if (peaks === undefined) return { ...base, couldNot: lacksSweep, samples, span, remarks: ambient.remarks };
  const remarks = [...ambient.remarks, ...samples.remarks, ...spikeRemarks(samples, span), ...cutRemarks(span), ...standardRemarks(base, options.intake)];
  const figures = resultOf({ ...base, ambient, peaks, sustained, curve, remarks });
  const result: PullResult = { ...figures, ...beyondLimits(base), ...flywheelFigures({ ...base, curve, samples, result: figures }, options.loss) };
  const events = eventsOfSweep(
    signalsOfSweep(recording, samples, span, { intake: options.intake, ambientKpa: air?.pressureKpa, fullLoadLambda: options.fullLoadLambda }),
  );
  return { ...base, result, couldNot: [], samples, span, readings, curve, sustained, events, remarks };
}

const DEFAULT_STANDARD = "sae-j1349";

/** The standard asked for, else the one on the intake sheet, if it is one. */
function standardOf({ standard, intake }: PullOptions): PowerStandard {
  if (standard !== undefined) return powerStandard(standard);
  const wanted = intake.dynamometer?.standard;
  return POWER_STANDARDS.find(({ id }) => id === wanted) ?? powerStandard(DEFAULT_STANDARD);
}

function beyondLimits({ standard, validity, factor, air }: Pick<PullAnalysis, "standard" | "validity" | "factor" | "air">): Pick<PullResult, "beyondLimits"> {
  if (air === undefined || validity === "yes" || validity === "no limits known") return {};
  const why =
    validity === "conditions outside"
      ? `${air.temperatureC} °C and ${dryPressureKpa(air).toFixed(1)} kPa of dry air lie outside the limits (${standard.limits})`
      : `the factor ${factor.toFixed(4)} is beyond 0.93 to 1.07`;
  return { beyondLimits: `${standard.name} does not cover this: ${why}` };
}

function sustainedPeaks(curve: PullCurve): PullAnalysis["sustained"] {
  const power = peakOf(curve.powerKw, curve.rpm, curve.sdFraction);
  const torque = peakOf(curve.torqueNm, curve.rpm, curve.sdFraction);
  return power && torque && { power, torque };
}

interface HeadlinePeaks {
  readonly power: Peak;
  readonly torque: Peak;
  readonly isReading: boolean;
}

/** Peaks of the reading where force was measured; of the smooth curve where power comes from a derivative, whose readings are too rough. */
function headlinePeaks(samples: SweepSamples, readings: PullReadings, sustained: PullAnalysis["sustained"]): HeadlinePeaks | undefined {
  if (samples.source !== "roller force") return sustained && { ...sustained, isReading: false };
  const power = peakOf(readings.powerKw, readings.rpm);
  const torque = peakOf(readings.torqueNm, readings.rpm);
  return power && torque && { power, torque, isReading: true };
}

interface ToPrint {
  readonly file: string;
  readonly standard: PowerStandard;
  readonly factor: number;
  readonly ambient: SweepAmbient;
  readonly peaks: HeadlinePeaks;
  readonly sustained: PullAnalysis["sustained"];
  readonly curve: PullCurve | undefined;
  readonly remarks: readonly string[];
}

function resultOf({ file, standard, factor, ambient, peaks, sustained, curve, remarks }: ToPrint): PullResult {
  const { air } = ambient;
  return {
    file,
    standard: standard.name,
    factor: round(factor, 4),
    peakPowerKw: round(peaks.power.value, 1),
    peakPowerRpm: Math.round(peaks.power.rpm),
    peakTorqueNm: round(peaks.torque.value, 1),
    peakTorqueRpm: Math.round(peaks.torque.rpm),
    smoothing: smoothingInWords(peaks.isReading, sustained, curve),
    ...(air === undefined ? {} : { ambient: { ...air, source: ambient.source } }),
    remarks,
  };
}

function smoothingInWords(isReading: boolean, sustained: PullAnalysis["sustained"], curve: PullCurve | undefined): string {
  const reading = `peaks are those of a reading averaged by a first-order lag of ${READING_LAG_S} s`;
  if (sustained === undefined || curve === undefined) return reading;
  const { power, torque } = sustained;
  const held =
    `held over a window of ±${curve.bandwidthS} s (local quadratic, width by cross-validation): ` +
    `${withSpread(power, 1)} kW at ${power.rpm.toFixed(0)} rpm, ${withSpread(torque, 1)} Nm at ${torque.rpm.toFixed(0)} rpm`;
  return isReading ? `${reading}; ${held}` : `peaks are those of the smooth curve, ${held}`;
}

const withSpread = (peak: Peak, digits: number): string => `${peak.value.toFixed(digits)} ± ${(1.645 * peak.sdFraction * peak.value).toFixed(digits)}`;

function round(value: number, digits: number): number {
  return Number(value.toFixed(digits));
}

function spikeRemarks(samples: SweepSamples, span: SweepSpan): string[] {
  const within = samples.spikesS.filter((t) => t >= samples.timeS[span.from]! && t <= samples.timeS[span.to - 1]!);
  return within.length === 0 ? [] : [`${within.length} samples of force were spikes of the instrument and were bridged`];
}

function cutRemarks(span: SweepSpan): string[] {
  return span.cuts
    .filter((cut) => cut.depthFraction > 0.05)
    .map(
      (cut) =>
        `torque was cut by ${(100 * cut.depthFraction).toFixed(0)} % at ${cut.rpm.toFixed(0)} rpm (${cut.fromS.toFixed(2)} to ${cut.toS.toFixed(2)} s); the smooth curve passes over it`,
    );
}

function standardRemarks(at: Pick<PullAnalysis, "standard" | "factor" | "validity" | "air" | "notes">, intake: Intake): string[] {
  const { standard, factor, validity, air } = at;
  const remarks: string[] = [];
  const wanted = intake.dynamometer?.standard;
  if (wanted !== undefined && !POWER_STANDARDS.some(({ id }) => id === wanted))
    remarks.push(`the intake sheet asks for the standard "${wanted}", which is not known (docs/power-standards.md); ${standard.name} was taken`);
  if (at.notes.correction !== undefined)
    remarks.push(`the file says that its figures carry a correction (${at.notes.correction}): if so, ask for "none" or the correction counts twice`);
  if (air !== undefined && validity === "conditions outside")
    remarks.push(
      `${standard.name} is outside its limits (${air.temperatureC} °C, ${dryPressureKpa(air).toFixed(1)} kPa of dry air; limits: ${standard.limits}): quote the uncorrected figures too`,
    );
  else if (validity === "factor outside 0.93-1.07")
    remarks.push(`the factor ${factor.toFixed(4)} is beyond 7 %, outside ${standard.name}: quote the uncorrected figures too`);
  if (validity !== "factor outside 0.93-1.07" && Math.abs(factor - 1) > 0.03)
    remarks.push(`the factor ${factor.toFixed(4)} is beyond 3 %: state it with the figure`);
  if (intake.engine.boosted === true && standard.id !== "none") remarks.push(`boosted engine, ${standard.name}: ${standard.boosted}`);
  return remarks;
}
