import type { SignalId } from "../units/index.ts";

/** One recognised column of a recording, in the signal's canonical unit, one value a row; NaN where the row has no sample. */
export interface Channel {
  readonly signal: SignalId;
  /** Name and unit as the file has them, e.g. "Engine RPM [rpm]". */
  readonly source: string;
  /** How sure recognition is, 0–1. */
  readonly confidence: number;
  readonly values: Float64Array;
}

/** A column that was not recognised: kept as read, listed in the result. */
export interface OtherColumn {
  readonly source: string;
  readonly unit: string;
  readonly values: Float64Array;
}

/** A recorded drive, idle or sweep: one clock and columns, time ascending, everything in canonical units. */
export interface Recording {
  /** Path within the packet, forward slashes. */
  readonly file: string;
  /** Seconds from the first row, strictly ascending. */
  readonly timeS: Float64Array;
  readonly channels: Readonly<Partial<Record<SignalId, Channel>>>;
  readonly others: readonly OtherColumn[];
  /** "Key: value" lines found above the header, e.g. ambient values of a sweep. */
  readonly preamble: Readonly<Record<string, string>>;
  /** What was mended on reading, in words. */
  readonly repairs: readonly string[];
}

export function durationS(recording: Recording): number {
  const n = recording.timeS.length;
  return n === 0 ? 0 : recording.timeS[n - 1]! - recording.timeS[0]!;
}

/** Values of a signal on the recording's own rows, or undefined. */
export function channelValues(recording: Recording, signal: SignalId): Float64Array | undefined {
  return recording.channels[signal]?.values;
}
