import type { MapBox, MapPoints } from "./draw-map.ts";
import type { Span } from "./use-window.ts";

/** Instants within a box, joined into spans where they follow each other. Times ascend. */
export function spansOf(points: Pick<MapPoints, "timeS" | "rpm" | "kpa">, box: MapBox): readonly Span[] {
  const { timeS, rpm, kpa } = points;
  const usualS = timeS.length < 2 ? 1 : (timeS[timeS.length - 1]! - timeS[0]!) / (timeS.length - 1);
  const spans: { fromS: number; toS: number }[] = [];
  for (let i = 0; i < timeS.length; i++) {
    const isIn = rpm[i]! >= box.rpm[0] && rpm[i]! <= box.rpm[1] && kpa[i]! >= box.kpa[0] && kpa[i]! <= box.kpa[1];
    if (!isIn) continue;
    const last = spans.at(-1);
    if (last !== undefined && timeS[i]! - last.toS < Math.max(0.5, 3 * usualS)) last.toS = timeS[i]!;
    else spans.push({ fromS: timeS[i]!, toS: timeS[i]! });
  }
  return spans;
}
