import { convert, isConvertible, parseUnit } from "../core/units/index.ts";

/** Units for display: a system, or unit by unit (`{ kPa: "inHg" }` on top of metric). */
export type UnitChoice = "metric" | "imperial" | Readonly<Record<string, string>>;

/** Canonical unit → what the trade uses where inches and pounds are used. Fuel and spark quantities keep their units there too. */
const IMPERIAL: Readonly<Record<string, string>> = {
  kPa: "psi",
  "°C": "°F",
  "g/s": "lb/min",
  "km/h": "mph",
  Nm: "lb·ft",
  kW: "hp",
  kg: "lb",
  mm: "in",
  "1/km": "1/mi",
};

const SYMBOLS: Readonly<Record<string, string>> = { lambda: "λ", deg: "°", "-": "–", "": "–", "equivalence ratio": "–" };

/** How a canonical unit is shown: its symbol and the way from canonical to shown values. */
export interface Measure {
  readonly symbol: string;
  readonly of: (value: number) => number;
  readonly all: (values: ArrayLike<number>) => Float64Array;
  /** For differences: the factor alone, without the offset of a temperature scale. */
  readonly differences: (values: ArrayLike<number>) => Float64Array;
}

export type Measures = (unit: string) => Measure;

export function measuresFor(choice: UnitChoice = "metric"): Measures {
  const map = choice === "metric" ? {} : choice === "imperial" ? IMPERIAL : choice;
  return (unit) => {
    const wanted = map[unit];
    if (wanted === undefined || parseUnit(unit) === undefined || parseUnit(wanted) === undefined || !isConvertible(unit, wanted))
      return { symbol: SYMBOLS[unit] ?? unit, of: same, all: copy, differences: copy };
    const of = (value: number): number => convert(value, unit, wanted);
    const zero = of(0);
    return {
      symbol: SYMBOLS[wanted] ?? wanted,
      of,
      all: (values) => Float64Array.from(values as ArrayLike<number>, of),
      differences: (values) => Float64Array.from(values as ArrayLike<number>, (value) => of(value) - zero),
    };
  };
}

function same(value: number): number {
  return value;
}

function copy(values: ArrayLike<number>): Float64Array {
  return Float64Array.from(values as ArrayLike<number>);
}
