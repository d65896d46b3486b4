import type { Fault } from "./define.ts";
import { CHANNEL_UNITS, type ResidualChannel } from "./deviation.ts";
import type { Facts } from "./facts.ts";
import { type Comparison, predicted, type StoryFit } from "./inference.ts";
import type { ResidualPoint } from "./points.ts";

/** A residual against an operating quantity with the story's curve through it: plain data for drawing, x ascending. */
export interface StoryPicture {
  readonly fault: string;
  readonly channel: ResidualChannel;
  readonly title: string;
  readonly x: { readonly name: string; readonly unit: string };
  readonly y: { readonly name: string; readonly unit: string };
  /** Seen, with its standard deviation; percent where the residual is a logarithm. */
  readonly points: readonly {
    readonly x: number;
    readonly y: number;
    readonly sd: number;
    readonly recording: string;
    readonly fromS: number;
    readonly toS: number;
    readonly usesMeter: boolean;
  }[];
  /** The story at its middle size and at the ends of the 90 % interval, at the points' x. */
  readonly curve: readonly { readonly x: number; readonly y: number; readonly low: number; readonly high: number }[];
}

const NAMES: Readonly<Record<ResidualChannel, string>> = {
  fuel: "Fuel residual",
  model: "Meter over speed-density air",
  throttle: "Air beyond the throttle's position",
  idle: "Metered less commanded idle airflow",
  "idle-need": "Commanded idle airflow beyond the base table",
  "map-at-rest": "Manifold pressure at rest less ambient",
  "map-at-full-load": "Manifold pressure at full load less expected",
  bank: "Trim of bank 1 over bank 2",
};

/** Pictures of the residuals that a story moves most, most moved first. */
export function storyPictures(fault: Fault, fit: StoryFit, points: readonly ResidualPoint[], comparison: Comparison, facts: Facts): readonly StoryPicture[] {
  if (fault.story === undefined) return [];
  const manner = fault.story.manners.find((m) => m.id === fit.manner)!;
  const middle = predicted(points, manner, fit.size.value, facts);
  const low = predicted(points, manner, fit.size.low, facts);
  const high = predicted(points, manner, fit.size.high, facts);
  const moved = new Map<ResidualChannel, number>();
  for (const [i, p] of points.entries()) moved.set(p.channel, Math.max(moved.get(p.channel) ?? 0, Math.abs(middle[i]!) / comparison.totalSd[i]!));
  return [...moved]
    .filter(([channel, z]) => z > 0.7 && points.filter((p) => p.channel === channel).length >= 3)
    .sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))
    .slice(0, 3)
    .map(([channel]) => {
      const percent = CHANNEL_UNITS[channel] === "ln";
      const shown = (value: number): number => (percent ? 100 * Math.expm1(value) : value);
      const byPulse = fault.id === "fuel.injector-dead-time-mismatch" && channel === "fuel";
      const xOf = (p: ResidualPoint): number => (byPulse ? p.at.pulseMs : p.at.airflowGps);
      const order = [...points.keys()]
        .filter((i) => points[i]!.channel === channel && Number.isFinite(xOf(points[i]!)))
        .sort((a, b) => xOf(points[a]!) - xOf(points[b]!));
      return {
        fault: fault.id,
        channel,
        title: `${NAMES[channel]} against ${byPulse ? "pulse width" : "airflow"}`,
        x: byPulse ? { name: "Injector pulse width", unit: "ms" } : { name: "Airflow", unit: "g/s" },
        y: { name: NAMES[channel], unit: percent ? "%" : CHANNEL_UNITS[channel] },
        points: order.map((i) => {
          const p = points[i]!;
          const y = shown(comparison.values[i]!);
          return { x: xOf(p), y, sd: percent ? 100 * p.sd : p.sd, recording: p.recording, fromS: p.fromS, toS: p.toS, usesMeter: p.at.meterShare >= 0.5 };
        }),
        curve: order.map((i) => {
          const ends = [shown(low[i]!), shown(high[i]!)];
          return { x: xOf(points[i]!), y: shown(middle[i]!), low: Math.min(...ends), high: Math.max(...ends) };
        }),
      };
    });
}
