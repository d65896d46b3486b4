import { describeSignal, type SignalId } from "../../core/units/index.ts";
import { volumetricEfficiencies } from "./infer-units.ts";
import type { RecordingContext } from "./recording.ts";
import { roughQuantile as quantile } from "./thin.ts";
import type { SettledColumn } from "./to-canonical.ts";

export interface Judged {
  readonly kept: readonly SettledColumn[];
  /** Columns whose values their signal cannot have: listed, not used. */
  readonly refused: readonly SettledColumn[];
}

/** Signals that move whenever an engine runs. */
const RESTLESS: readonly SignalId[] = ["rpm", "map", "maf", "mafHz", "lambda", "spark", "injMs", "battery"];

/** Looks at recognised channels once more by their values: impossible ones are refused, dead and doubtful ones are named. */
export function judgeValues(columns: readonly SettledColumn[], context: RecordingContext, repairs: string[]): Judged {
  const kept: SettledColumn[] = [];
  const refused: SettledColumn[] = [];
  for (const column of columns) {
    const { plausible, unit, name } = describeSignal(column.signal);
    const facts = spreadOf(column.values, plausible);
    const { share } = facts;
    if (facts.count > 0 && share < 0.02) {
      repairs.push(`${column.fact.source}: reads ${range(facts, unit)}, which ${name.toLowerCase()} cannot be; kept as unrecognised`);
      refused.push(column);
      continue;
    }
    if (
      facts.count > 20 &&
      facts.low === facts.high &&
      (RESTLESS.includes(column.signal) || ((column.signal === "iat" || column.signal === "ect") && facts.low === 0))
    )
      repairs.push(`${column.fact.source}: never changes (${range(facts, unit)} in every row); looks dead`);
    if (share < 0.9 && facts.count > 0)
      repairs.push(`${column.fact.source}: ${Math.round((1 - share) * 100)} % of the values lie outside what ${name.toLowerCase()} can be`);
    kept.push(share < 0.9 ? { ...column, confidence: column.confidence * (0.4 + 0.6 * share) } : column);
  }
  return withoutDerivedAirflow({ kept, refused }, context, repairs);
}

/** Least, greatest and number of samples, and the share of them that is believable, in one pass. */
function spreadOf(values: Float64Array, [least, most]: readonly [number, number]): { low: number; high: number; count: number; share: number } {
  const slack = 0.02 * (most - least);
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  let count = 0;
  let inside = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    count++;
    if (value < low) low = value;
    if (value > high) high = value;
    if (value >= least - slack && value <= most + slack) inside++;
  }
  return { low, high, count, share: count === 0 ? 1 : inside / count };
}

function range({ low, high }: { readonly low: number; readonly high: number }, unit: string): string {
  const text = (value: number): string => String(Number(value.toPrecision(4)));
  const suffix = unit === "-" || unit === "0/1" ? "" : ` ${unit}`;
  return low === high ? `${text(low)}${suffix}` : `${text(low)} to ${text(high)}${suffix}`;
}

/** Airflow that is the same volumetric efficiency in every row was worked out from the pressure and says nothing about the engine. */
function withoutDerivedAirflow(judged: Judged, context: RecordingContext, repairs: string[]): Judged {
  const of = (signal: SignalId): SettledColumn | undefined => judged.kept.find((column) => column.signal === signal);
  const maf = of("maf");
  const rpm = of("rpm");
  const map = of("map");
  if (maf === undefined || rpm === undefined || map === undefined) return judged;
  const efficiencies = volumetricEfficiencies(maf.values, {
    rpm: rpm.values,
    map: map.values,
    iat: of("iat")?.values,
    displacementL: context.intake?.engine.displacementL ?? 1,
  });
  if (efficiencies.length < 30) return judged;
  const middle = quantile(efficiencies, 0.5);
  if (!(quantile(efficiencies, 0.95) - quantile(efficiencies, 0.05) < 1e-3 * middle)) return judged;
  repairs.push(`${maf.fact.source}: one volumetric efficiency in every row: worked out from the pressure, not measured; kept as unrecognised`);
  return { kept: judged.kept.filter((column) => column !== maf), refused: [...judged.refused, maf] };
}
