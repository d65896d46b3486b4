import { median } from "../../base/index.ts";
import type { Observations } from "../residuals/index.ts";

/** Medians of a recording's warm idles, as far as the recording knows them; NaN where it does not. */
export interface WarmIdle {
  readonly recording: string;
  readonly seconds: number;
  readonly fromS: number;
  readonly toS: number;
  readonly rpm: number;
  readonly mapKpa: number;
  readonly coolantC: number;
  /** Air by the meter [g/s]. */
  readonly meterGps: number;
  /** Air that the controller reckoned with, corrected by the fuel residual [g/s]. */
  readonly fuelledGps: number;
  /** Air by speed and density with the table's VE [g/s], and that VE. */
  readonly speedDensityGps: number;
  readonly tableVeFraction: number;
}

const SHORTEST_S = 10;

/** Warm idle of one recording; undefined when it holds less than ten seconds of it. */
export function warmIdleOf(o: Observations): WarmIdle | undefined {
  const inside: number[] = [];
  for (let i = 0; i < o.n; i++) {
    const at = o.timeS[i]!;
    if (o.steadiness[i]! > 0.2 && o.moments.some((m) => m.kind === "warm-idle" && at >= m.fromS && at <= m.toS)) inside.push(i);
  }
  const seconds = inside.length * o.dtS;
  if (seconds < SHORTEST_S) return undefined;
  const medianOf = (values: ArrayLike<number>): number => median(inside.map((i) => values[i]!));
  return {
    recording: o.recording.file,
    seconds,
    fromS: o.timeS[inside[0]!]!,
    toS: o.timeS[inside.at(-1)!]!,
    rpm: medianOf(o.rpm),
    mapKpa: medianOf(o.mapKpa),
    coolantC: medianOf(o.ectC),
    meterGps: medianOf(o.meterGps),
    fuelledGps: median(inside.map((i) => o.controllerGps[i]! * Math.exp(o.fuelResidual[i]!))),
    speedDensityGps: medianOf(o.speedDensityGps),
    tableVeFraction: medianOf(o.tableVeFraction),
  };
}

/**
 * Factor by which the engine's idle air differs from a reckoned airflow, read cautiously: meter and fuel must agree in direction, and
 * the smaller difference counts. A meter or an injector that is off alone then says nothing. NaN when neither is known.
 */
export function agreedFactor(idle: WarmIdle, reckonedGps: number): number {
  const factors = [idle.meterGps / reckonedGps, idle.fuelledGps / reckonedGps].filter((f) => Number.isFinite(f) && f > 0);
  if (factors.length === 0) return Number.NaN;
  const [a, b] = [factors[0]!, factors[factors.length - 1]!];
  if (Math.log(a) * Math.log(b) < 0) return 1;
  return Math.abs(Math.log(a)) < Math.abs(Math.log(b)) ? a : b;
}
