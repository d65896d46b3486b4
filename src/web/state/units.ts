import { createContext, useCallback, useContext } from "react";

export type UnitSystem = "metric" | "imperial";

/** Canonical unit → what is shown where inches and pounds are used, and how to get there: shown = canonical · scale + offset. */
const IMPERIAL: Readonly<Record<string, { readonly unit: string; readonly scale: number; readonly offset: number }>> = {
  kPa: { unit: "psi", scale: 0.145037738, offset: 0 },
  "km/h": { unit: "mph", scale: 0.621371192, offset: 0 },
  "°C": { unit: "°F", scale: 1.8, offset: 32 },
  Nm: { unit: "lbf ft", scale: 0.737562149, offset: 0 },
  kW: { unit: "hp", scale: 1.34102209, offset: 0 },
  N: { unit: "lbf", scale: 0.224808943, offset: 0 },
  kg: { unit: "lb", scale: 2.204622622, offset: 0 },
};

/** Canonical units that can be shown otherwise, by the name of their quantity. */
export const SWITCHED_UNITS: readonly (readonly [unit: string, quantity: string])[] = [
  ["kPa", "Pressure"],
  ["km/h", "Road speed"],
  ["°C", "Temperature"],
  ["Nm", "Torque"],
  ["kW", "Power"],
  ["N", "Force"],
  ["kg", "Mass"],
];

export interface Units {
  readonly system: UnitSystem;
  /** Choices by quantity, as the book remembers them. */
  readonly chosen: Readonly<Record<string, string>>;
  change(system: UnitSystem): void;
  /** One quantity by itself, by its canonical unit. */
  choose(unit: string, system: UnitSystem): void;
}

export const UnitsContext = createContext<Units>({ system: "metric", chosen: {}, change: () => {}, choose: () => {} });

export interface Shown {
  readonly unit: string;
  show(canonical: number): number;
  read(shown: number): number;
}

/** How a canonical unit is shown to this person. A choice by quantity goes before the system. */
export function useShown(unit: string): Shown {
  const { system, chosen } = useContext(UnitsContext);
  return shownIn(unit, (chosen[unit] ?? system) === "imperial" ? "imperial" : "metric");
}

/** How any canonical unit is shown to this person, for places that show many. */
export function useUnits(): (unit: string) => Shown {
  const { system, chosen } = useContext(UnitsContext);
  return useCallback((unit) => shownIn(unit, (chosen[unit] ?? system) === "imperial" ? "imperial" : "metric"), [system, chosen]);
}

export function shownIn(unit: string, system: UnitSystem): Shown {
  const other = system === "imperial" ? IMPERIAL[unit] : undefined;
  if (other === undefined) return { unit, show: (value) => value, read: (value) => value };
  return { unit: other.unit, show: (value) => value * other.scale + other.offset, read: (value) => (value - other.offset) / other.scale };
}
