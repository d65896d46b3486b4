import { applyConversion, conversionOf, describeSignal, isConvertible, type SignalId, type Unit } from "../../core/units/index.ts";
import type { ChosenColumn, ColumnFacts } from "./choose.ts";
import type { RecordingContext } from "./recording.ts";

export interface SettledColumn extends ChosenColumn {
  readonly values: Float64Array;
}

export interface CanonicalInput {
  readonly context: RecordingContext;
  readonly preamble: Readonly<Record<string, string>>;
  readonly timeS: Float64Array;
  readonly repairs: string[];
  readonly kept: (column: { fact: ColumnFacts; signal: SignalId }) => Float64Array;
}

/** Values of the chosen columns in the unit of their signal. */
export function toCanonical(chosen: readonly ChosenColumn[], input: CanonicalInput): SettledColumn[] {
  return chosen.map((column) => {
    const values = input.kept(column);
    const { unit } = column.fact;
    return { ...column, values: unit === undefined || unit === "unknown" ? values : convertAll(values, unit, column.signal) };
  });
}

function convertAll(values: Float64Array, unit: Unit, signal: SignalId): Float64Array {
  const target = describeSignal(signal).unit;
  if (!isConvertible(unit, target)) return values;
  const by = conversionOf(unit, target);
  return by.scale === 1 && by.offset === 0 && !by.isReciprocal ? values : values.map((value) => applyConversion(value, by));
}
