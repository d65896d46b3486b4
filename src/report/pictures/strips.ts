import { SIGNALS, type SignalId } from "../../core/units/index.ts";
import { type Picture, type StripLane, type StripSeries, type StripSpan, strip } from "../../drawing/index.ts";
import type { Context } from "../context.ts";
import type { Trace, TraceColumn } from "../model.ts";

/** Signals that share a lane, in the order of lanes. A lane is drawn when its first signal that is recorded has samples. */
const LANES: readonly (readonly string[])[] = [
  ["rpm", "idleTarget"],
  ["map", "mapTarget"],
  ["maf"],
  ["idleAirTarget", "idleAirAdapt"],
  ["tp1", "tp2", "pedal"],
  ["lambda", "lambdaTarget"],
  ["o2v1", "o2v2"],
  ["stft1", "ltft1"],
  ["stft2", "ltft2"],
  ["spark"],
  ["knockRetard"],
  ["injMs"],
  ["battery"],
  ["ect", "iat"],
  ["vss"],
  ["slip", "lockupDuty"],
  ["camSync"],
  ["linePressure"],
  ["torque"],
  ["baro"],
];

/** Moments that last: drawn as a ribbon. The short ones are only counted in the caption. */
const STATES = ["crank", "warm-up", "warm-idle", "cruise", "full-load"];

const OVERVIEW = ["rpm", "map", "lambda", "stft1", "vss"];

/** Lanes that show a fault, by the family of its id or by the id itself. */
const LANES_OF_FAULT: Readonly<Record<string, readonly string[]>> = {
  "air.unmetered-leak": ["rpm", "map", "maf", "stft1", "lambda"],
  "air.throttle-overflow": ["rpm", "maf", "idleAirTarget", "tp1"],
  "air.throttle-restricted": ["rpm", "maf", "idleAirTarget", "tp1"],
  "sensor.map-bias": ["rpm", "map", "baro", "stft1"],
  "sensor.oxygen-slow": ["o2v1", "lambda", "stft1"],
  cooling: ["ect", "rpm", "vss"],
  start: ["rpm", "camSync", "battery"],
  ignition: ["knockRetard", "spark", "rpm", "map"],
  electrical: ["battery", "rpm"],
  driveline: ["slip", "rpm", "torque", "vss"],
  torque: ["spark", "torque", "rpm"],
};

export function lanesForFault(fault: string): readonly string[] {
  return LANES_OF_FAULT[fault] ?? LANES_OF_FAULT[fault.split(".")[0]!] ?? ["rpm", "map", "maf", "lambda", "stft1"];
}

/** A whole recording with its moments. */
export function wholeStrip(context: Context, trace: Trace, caption: string): Picture | undefined {
  const last = trace.timeS[trace.timeS.length - 1] ?? 0;
  return drawStrip(context, trace, { fromS: trace.timeS[0] ?? 0, toS: last, wanted: OVERVIEW, caption, withMoments: true });
}

/** The span that is evidence, with some time around it. */
export function evidenceStrip(
  context: Context,
  trace: Trace,
  span: { fromS: number; toS: number; label: string },
  fault: string,
  caption: string,
): Picture | undefined {
  const first = trace.timeS[0] ?? 0;
  const last = trace.timeS[trace.timeS.length - 1] ?? 0;
  const around = Math.max(3, 0.35 * (span.toS - span.fromS));
  const [fromS, toS] = [Math.max(first, span.fromS - around), Math.min(last, span.toS + around)];
  if (!(toS > fromS)) return undefined;
  return drawStrip(context, trace, { fromS, toS, wanted: lanesForFault(fault), caption, evidence: span, withMoments: false });
}

function drawStrip(
  context: Context,
  trace: Trace,
  options: {
    fromS: number;
    toS: number;
    wanted: readonly string[];
    caption: string;
    evidence?: { fromS: number; toS: number; label: string };
    withMoments: boolean;
  },
): Picture | undefined {
  const lanes = options.wanted.map((signal) => laneOf(context, trace, signal)).filter((lane) => lane !== undefined);
  if (lanes.length === 0) return undefined;
  const names = context.texts.recordings.moments;
  return strip({
    id: context.pictureId(),
    title: trace.file,
    caption: options.caption,
    fromS: options.fromS,
    toS: options.toS,
    lanes,
    moments: options.withMoments ? ribbonOf(trace, names) : undefined,
    evidence: options.evidence === undefined ? undefined : [options.evidence],
    words: context.texts.pictures,
  });
}

function ribbonOf(trace: Trace, names: Readonly<Record<string, string>>): StripSpan[] | undefined {
  return trace.moments
    ?.filter((moment) => STATES.includes(moment.kind))
    .map((moment) => ({ fromS: moment.fromS, toS: moment.toS, label: names[moment.kind] ?? moment.kind }));
}

/** The lane of a signal with its companions; undefined when nothing of it was recorded. */
function laneOf(context: Context, trace: Trace, signal: string): StripLane | undefined {
  const members = LANES.find((lane) => lane[0] === signal) ?? [signal];
  const columns = members
    .map((id) => trace.columns.find((column) => column.signal === id))
    .filter((column): column is TraceColumn => column !== undefined && hasSamples(column));
  const first = columns[0];
  if (first === undefined) return undefined;
  const unit = unitOf(first);
  const measure = context.measures(unit);
  if (isAtRest(first)) return undefined;
  const series = columns
    .filter((column) => unitOf(column) === unit)
    .map((column): StripSeries => ({ signal: column.signal, label: nameOf(column), timeS: trace.timeS, values: measure.all(column.values) }));
  const rule = unit === "lambda" ? 1 : /^(stft|ltft)/.test(signal) ? 0 : undefined;
  return { unit: measure.symbol, series, rule };
}

/** A speed that is zero throughout says nothing. */
function isAtRest(column: TraceColumn): boolean {
  return column.signal === "vss" && Array.from(column.values).every((value) => !(value > 0));
}

function hasSamples(column: TraceColumn): boolean {
  for (let i = 0; i < column.values.length; i++) if (Number.isFinite(column.values[i]!)) return true;
  return false;
}

function describe(signal: string): { name: string; unit: string } | undefined {
  return Object.hasOwn(SIGNALS, signal) ? SIGNALS[signal as SignalId] : undefined;
}

function nameOf(column: TraceColumn): string {
  return column.name ?? describe(column.signal)?.name ?? column.signal;
}

function unitOf(column: TraceColumn): string {
  return column.unit ?? describe(column.signal)?.unit ?? "-";
}
