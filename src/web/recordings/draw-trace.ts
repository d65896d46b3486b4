import type { LaneSeries } from "./lanes-of.ts";
import type { Shown } from "./use-window.ts";

/** A signal silent for longer than this breaks its line; slow channels leave columns blank between their samples [s]. */
const SILENCE_S = 3;
const DASHES: Readonly<Record<string, readonly number[]>> = { "": [], dash: [7, 5], dots: [1.5, 4.5], dashdot: [9, 4, 1.5, 4] };
/** Mean height of a pixel column's range from which a trace is drawn as columns [px]: the cost of a line is its length. */
const DENSE_PX = 1.5;

export interface TraceScale {
  readonly x: (timeS: number) => number;
  readonly y: (value: number) => number;
  /** Right end of what is seen [px]. */
  readonly width: number;
}

export function penOf(g: CanvasRenderingContext2D, series: LaneSeries, colour: string, width: number): void {
  g.strokeStyle = colour;
  g.lineWidth = width;
  g.setLineDash([...(DASHES[series.style.dash] ?? [])]);
}

/**
 * Draws one signal of a window. Where pixels stand for single samples it is a line; where they stand for many it is a column a pixel,
 * since a line that goes up and down in every pixel is the same picture at twenty times the cost.
 */
export function drawTrace(g: CanvasRenderingContext2D, series: LaneSeries, shown: Shown, scale: TraceScale, colour: string, width: number): void {
  const index = shown.signals.indexOf(series.signal);
  if (index < 0) return;
  const least = shown.blocks.subarray(index * 2 * shown.width, (index * 2 + 1) * shown.width);
  const greatest = shown.blocks.subarray((index * 2 + 1) * shown.width, (index * 2 + 2) * shown.width);
  let lengthPx = 0;
  for (let i = 0; i < shown.width; i++) if (greatest[i]! > least[i]!) lengthPx += scale.y(least[i]!) - scale.y(greatest[i]!);
  if (lengthPx > DENSE_PX * shown.width) drawColumns(g, series, shown, least, greatest, scale, colour, width);
  else drawLine(g, series, shown, least, greatest, scale, colour, width);
}

function drawLine(
  g: CanvasRenderingContext2D,
  series: LaneSeries,
  shown: Shown,
  least: Float32Array,
  greatest: Float32Array,
  { x, y }: TraceScale,
  colour: string,
  width: number,
): void {
  const perPixelS = (shown.span.toS - shown.span.fromS) / shown.width;
  penOf(g, series, colour, width);
  g.lineJoin = "round";
  g.beginPath();
  let isOpen = false;
  let silent = 0;
  for (let i = 0; i < shown.width; i++) {
    if (Number.isNaN(least[i]!)) {
      if (++silent * perPixelS > SILENCE_S) isOpen = false;
      continue;
    }
    silent = 0;
    const at = x(shown.span.fromS + (i + 0.5) * perPixelS);
    if (isOpen) g.lineTo(at, y(least[i]!));
    else g.moveTo(at, y(least[i]!));
    // A column of one sample still needs a mark of its own where its neighbours are silent.
    if (greatest[i] !== least[i] || !isOpen) g.lineTo(at, y(greatest[i]!) - (greatest[i] === least[i] ? 0.5 : 0));
    isOpen = true;
  }
  g.stroke();
  g.setLineDash([]);
}

function drawColumns(
  g: CanvasRenderingContext2D,
  series: LaneSeries,
  shown: Shown,
  least: Float32Array,
  greatest: Float32Array,
  { x, y, width: right }: TraceScale,
  colour: string,
  width: number,
): void {
  const perPixelS = (shown.span.toS - shown.span.fromS) / shown.width;
  const dash = DASHES[series.style.dash] ?? [];
  const period = dash.reduce((sum, part) => sum + part, 0);
  const isPenDown = (px: number): boolean => period === 0 || px % period < dash[0]!;
  g.fillStyle = colour;
  let [top, bottom, pixel] = [Number.NaN, Number.NaN, Number.NaN];
  for (let i = 0; i < shown.width; i++) {
    if (Number.isNaN(least[i]!)) continue;
    const px = Math.round(x(shown.span.fromS + (i + 0.5) * perPixelS));
    if (px < 0 || px > right) continue;
    let high = y(greatest[i]!) - width / 2;
    let low = y(least[i]!) + width / 2;
    // Neighbours touch, as a line would; over a long silence they do not.
    if (px - pixel <= 2) [high, low] = [Math.min(high, bottom), Math.max(low, top)];
    [top, bottom] = [y(greatest[i]!), y(least[i]!)];
    if (isPenDown(px)) g.fillRect(px, high, Number.isNaN(pixel) ? 1 : Math.min(2, Math.max(1, px - pixel)), low - high);
    pixel = px;
  }
}
