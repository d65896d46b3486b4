import type { Recording } from "../core/recordings/index.ts";
import type { StoryDetail, Trace, TraceColumn } from "./model.ts";

/** A recording as the report draws it; `computed` adds what was worked out from it on the recording's own rows. */
export function traceOf(recording: Recording, moments: NonNullable<Trace["moments"]> = [], computed: readonly TraceColumn[] = []): Trace {
  const columns = Object.values(recording.channels).map((channel): TraceColumn => ({ signal: channel.signal, values: channel.values }));
  return { file: recording.file, timeS: recording.timeS, columns: [...columns, ...computed], moments };
}

/** A story given point by point, as the weighing of suspects hands it out, in columns as the report draws it. */
export function storyOf(given: {
  readonly fault: string;
  readonly title: string;
  readonly x: { readonly name: string; readonly unit: string };
  readonly y: { readonly name: string; readonly unit: string };
  readonly points: readonly { readonly x: number; readonly y: number; readonly sd?: number }[];
  readonly curve: readonly { readonly x: number; readonly y: number; readonly low?: number; readonly high?: number }[];
}): StoryDetail {
  const { fault, title, x, y, points, curve } = given;
  return {
    fault,
    title,
    x,
    y,
    points: { x: points.map((point) => point.x), y: points.map((point) => point.y), sd: points.map((point) => point.sd ?? 0) },
    curves: [
      { fault, x: curve.map((at) => at.x), y: curve.map((at) => at.y), low: curve.map((at) => at.low ?? at.y), high: curve.map((at) => at.high ?? at.y) },
    ],
  };
}
