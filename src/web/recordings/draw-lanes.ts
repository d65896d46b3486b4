import { lineStyle, niceTicks } from "../../drawing/index.ts";
import type { Shown, Span } from "./use-window.ts";

/** One lane: what it shows, in the person's unit, and the range of its axis. */
export interface Lane {
  readonly signal: string;
  readonly name: string;
  readonly unit: string;
  readonly show: (value: number) => number;
  readonly range: readonly [number, number];
}

export interface LaneColours {
  readonly ground: string;
  readonly ink: string;
  readonly soft: string;
  readonly hair: string;
  readonly evidence: string;
  readonly accent: string;
  readonly signals: readonly string[];
}

export const LANE_PX = 96;
export const LEFT_PX = 64;

/** Draws all lanes over a span; a silence of the signal breaks its line. */
export function drawLanes(
  canvas: HTMLCanvasElement,
  lanes: readonly Lane[],
  shown: Shown | undefined,
  view: { readonly span: Span; readonly cursorS: number | undefined; readonly chosen: Span | undefined; readonly evidence: Span | undefined },
  colours: LaneColours,
): void {
  const ratio = devicePixelRatio || 1;
  const width = canvas.clientWidth;
  const height = canvas.clientHeight;
  if (canvas.width !== Math.round(width * ratio)) canvas.width = Math.round(width * ratio);
  if (canvas.height !== Math.round(height * ratio)) canvas.height = Math.round(height * ratio);
  const g = canvas.getContext("2d")!;
  g.setTransform(ratio, 0, 0, ratio, 0, 0);
  g.fillStyle = colours.ground;
  g.fillRect(0, 0, width, height);
  const x = (timeS: number): number => LEFT_PX + ((timeS - view.span.fromS) / (view.span.toS - view.span.fromS)) * (width - LEFT_PX);
  for (const [span, colour] of [
    [view.evidence, colours.evidence],
    [view.chosen, colours.hair],
  ] as const) {
    if (span === undefined) continue;
    g.fillStyle = colour;
    g.fillRect(x(span.fromS), 0, Math.max(2, x(span.toS) - x(span.fromS)), height - 22);
  }
  g.font = `13px ${getComputedStyle(canvas).fontFamily}`;
  lanes.forEach((lane, i) => {
    drawLane(g, lane, i * LANE_PX, width, x, shown, colours);
  });
  drawTimes(g, view.span, x, width, height, colours);
  if (view.cursorS !== undefined) {
    g.strokeStyle = colours.accent;
    g.lineWidth = 1.5;
    g.beginPath();
    g.moveTo(x(view.cursorS), 0);
    g.lineTo(x(view.cursorS), height - 22);
    g.stroke();
  }
}

function drawLane(
  g: CanvasRenderingContext2D,
  lane: Lane,
  top: number,
  width: number,
  x: (timeS: number) => number,
  shown: Shown | undefined,
  colours: LaneColours,
): void {
  const [low, high] = lane.range;
  const y = (value: number): number => top + LANE_PX - 8 - ((value - low) / (high - low || 1)) * (LANE_PX - 16);
  g.strokeStyle = colours.hair;
  g.lineWidth = 1;
  g.fillStyle = colours.soft;
  g.textAlign = "right";
  for (const tick of niceTicks(low, high, 3).values) {
    if (tick < low || tick > high) continue;
    g.beginPath();
    g.moveTo(LEFT_PX, y(tick));
    g.lineTo(width, y(tick));
    g.stroke();
    g.fillText(String(Number(tick.toPrecision(4))), LEFT_PX - 8, y(tick) + 4);
  }
  g.textAlign = "left";
  g.fillStyle = colours.ink;
  g.fillText(`${lane.name} [${lane.unit === "" ? "–" : lane.unit}]`, LEFT_PX + 8, top + 16);
  const index = shown?.signals.indexOf(lane.signal) ?? -1;
  if (shown === undefined || index < 0) return;
  g.save();
  g.beginPath();
  g.rect(LEFT_PX, top, width - LEFT_PX, LANE_PX);
  g.clip();
  const base = index * 2 * shown.width;
  const perPixelS = (shown.span.toS - shown.span.fromS) / shown.width;
  g.strokeStyle = colours.signals[lineStyle(lane.signal).slot] ?? colours.ink;
  g.lineWidth = 1.5;
  g.beginPath();
  let isOpen = false;
  let silent = 0;
  for (let i = 0; i < shown.width; i++) {
    const least = shown.blocks[base + i]!;
    if (Number.isNaN(least)) {
      // Slow channels leave columns blank between their samples; only a long silence is a gap.
      if (++silent * perPixelS > 3) isOpen = false;
      continue;
    }
    silent = 0;
    const at = x(shown.span.fromS + (i + 0.5) * perPixelS);
    const first = y(lane.show(least));
    if (isOpen) g.lineTo(at, first);
    else g.moveTo(at, first);
    g.lineTo(at, y(lane.show(shown.blocks[base + shown.width + i]!)));
    isOpen = true;
  }
  g.stroke();
  g.restore();
}

function drawTimes(g: CanvasRenderingContext2D, span: Span, x: (timeS: number) => number, width: number, height: number, colours: LaneColours): void {
  g.fillStyle = colours.soft;
  g.textAlign = "center";
  for (const tick of niceTicks(span.fromS, span.toS, Math.max(3, Math.round(width / 140))).values)
    if (tick >= span.fromS && tick <= span.toS) g.fillText(`${Number(tick.toPrecision(6))} s`, Math.min(width - 24, x(tick)), height - 6);
}

/** The page's colours as the canvas needs them: read anew, since paper and bay may be exchanged. */
export function coloursOf(element: Element): LaneColours {
  const style = getComputedStyle(element);
  const get = (name: string): string => style.getPropertyValue(`--${name}`).trim();
  return {
    ground: get("ground"),
    ink: get("ink"),
    soft: get("soft"),
    hair: get("hair"),
    evidence: get("evidence"),
    accent: get("accent"),
    signals: Array.from({ length: 8 }, (_, i) => get(`g${i}`)),
  };
}
