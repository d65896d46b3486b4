import { formatNumber, niceTicks } from "../../drawing/index.ts";
import { drawTrace, penOf } from "./draw-trace.ts";
import type { Lane, LaneSeries } from "./lanes-of.ts";
import type { Shown, Span } from "./use-window.ts";

export interface LaneColours {
  readonly ground: string;
  readonly raised: string;
  readonly ink: string;
  readonly soft: string;
  readonly hair: string;
  readonly line: string;
  readonly evidence: string;
  readonly accent: string;
  readonly signals: readonly string[];
  readonly words: string;
  readonly figures: string;
}

/** A second recording over the first: its window, on its own clock, and how much later it is drawn [s]. */
export interface Overlaid {
  readonly shown: Shown | undefined;
  readonly laterS: number;
}

export interface LanesScene {
  readonly lanes: readonly Lane[];
  readonly shown: Shown | undefined;
  readonly overlaid: Overlaid | undefined;
  readonly span: Span;
  readonly cursorS: number | undefined;
  readonly chosen: Span | undefined;
  readonly evidence: Span | undefined;
  /** Values at the cursor by signal, canonical; what is not known is left out. */
  readonly atCursor: ReadonlyMap<string, number>;
  readonly lanePx: number;
}

export const LEFT_PX = 64;
export const FOOT_PX = 24;
const HEAD_PX = 21;
/** Units that say nothing beside a figure. */
const PLAIN: readonly string[] = ["", "-", "lambda", "0/1"];

/** Draws all lanes over a span; a silence of the signal breaks its line. */
export function drawLanes(canvas: HTMLCanvasElement, scene: LanesScene, colours: LaneColours): void {
  const ratio = devicePixelRatio || 1;
  const width = canvas.clientWidth;
  const height = canvas.clientHeight;
  if (canvas.width !== Math.round(width * ratio)) canvas.width = Math.round(width * ratio);
  if (canvas.height !== Math.round(height * ratio)) canvas.height = Math.round(height * ratio);
  const g = canvas.getContext("2d", { alpha: false })!;
  g.setTransform(ratio, 0, 0, ratio, 0, 0);
  g.fillStyle = colours.ground;
  g.fillRect(0, 0, width, height);
  const { span } = scene;
  const x = (timeS: number): number => LEFT_PX + ((timeS - span.fromS) / (span.toS - span.fromS)) * (width - LEFT_PX);
  const bottom = height - FOOT_PX;
  const plot = { x, width, bottom };
  for (const [tinted, colour] of [
    [scene.evidence, colours.evidence],
    [scene.chosen, colours.raised],
  ] as const)
    if (tinted !== undefined) tint(g, tinted, colour, plot);
  drawTimes(g, span, plot, height, colours);
  scene.lanes.forEach((lane, i) => {
    drawLane(g, lane, i * scene.lanePx, scene, plot, colours);
  });
  if (scene.chosen !== undefined) edges(g, scene.chosen, colours.line, plot);
  if (scene.cursorS !== undefined) {
    g.strokeStyle = colours.accent;
    g.lineWidth = 1.5;
    line(g, x(scene.cursorS), 0, x(scene.cursorS), bottom);
  }
}

interface Plot {
  readonly x: (timeS: number) => number;
  readonly width: number;
  readonly bottom: number;
}

function tint(g: CanvasRenderingContext2D, span: Span, colour: string, { x, bottom }: Plot): void {
  g.fillStyle = colour;
  const from = Math.max(LEFT_PX, x(span.fromS));
  if (x(span.toS) > LEFT_PX) g.fillRect(from, 0, Math.max(2, x(span.toS) - from), bottom);
}

function edges(g: CanvasRenderingContext2D, span: Span, colour: string, { x, bottom }: Plot): void {
  g.strokeStyle = colour;
  g.lineWidth = 1;
  for (const at of [x(span.fromS), x(span.toS)]) if (at >= LEFT_PX) line(g, at, 0, at, bottom);
}

function line(g: CanvasRenderingContext2D, x0: number, y0: number, x1: number, y1: number): void {
  g.beginPath();
  g.moveTo(x0, y0);
  g.lineTo(x1, y1);
  g.stroke();
}

function drawLane(g: CanvasRenderingContext2D, lane: Lane, top: number, scene: LanesScene, plot: Plot, colours: LaneColours): void {
  const [low, high] = lane.range;
  const [ceiling, floor] = [top + HEAD_PX + 4, top + scene.lanePx - 8];
  const y = (value: number): number => floor - ((value - low) / (high - low || 1)) * (floor - ceiling);
  g.strokeStyle = colours.hair;
  g.lineWidth = 1;
  g.font = `13px ${colours.figures}`;
  g.textAlign = "right";
  g.textBaseline = "middle";
  g.fillStyle = colours.soft;
  const ticks = niceTicks(low, high, floor - ceiling > 70 ? 3 : 2);
  for (const tick of ticks.values) {
    line(g, LEFT_PX, y(tick), plot.width, y(tick));
    g.fillText(formatNumber(tick, ticks.decimals), LEFT_PX - 8, y(tick));
  }
  g.save();
  g.beginPath();
  g.rect(LEFT_PX, top, plot.width - LEFT_PX, scene.lanePx);
  g.clip();
  const { overlaid } = scene;
  const yOf = (value: number): number => y(lane.show(value));
  for (const series of lane.series) {
    if (overlaid?.shown !== undefined) {
      g.globalAlpha = 0.5;
      drawTrace(g, series, overlaid.shown, { x: (timeS) => plot.x(timeS + overlaid.laterS), y: yOf, width: plot.width }, penColour(series, colours), 1);
      g.globalAlpha = 1;
    }
    if (scene.shown !== undefined) drawTrace(g, series, scene.shown, { x: plot.x, y: yOf, width: plot.width }, penColour(series, colours), 1.6);
  }
  g.restore();
  drawHead(g, lane, top, scene, plot, colours);
}

/** The lane's names, each with a piece of its own line, and the values at the cursor. */
function drawHead(g: CanvasRenderingContext2D, lane: Lane, top: number, scene: LanesScene, plot: Plot, colours: LaneColours): void {
  g.strokeStyle = colours.line;
  g.lineWidth = 1;
  if (top > 0) line(g, 0, top + 0.5, plot.width, top + 0.5);
  g.textAlign = "left";
  g.textBaseline = "middle";
  let at = LEFT_PX + 4;
  const middle = top + 3 + HEAD_PX / 2;
  for (const series of lane.series) {
    const value = scene.atCursor.get(series.signal);
    const figure = value === undefined ? "" : ` ${significant(lane.show(value))}`;
    g.font = `14px ${colours.words}`;
    const nameWidth = g.measureText(series.name).width;
    g.font = `700 14px ${colours.figures}`;
    const figureWidth = figure === "" ? 0 : g.measureText(figure).width;
    const unit = PLAIN.includes(lane.unit) ? "" : ` ${lane.unit}`;
    g.font = `14px ${colours.words}`;
    const unitWidth = unit === "" ? 0 : g.measureText(unit).width;
    const whole = 30 + nameWidth + figureWidth + unitWidth + 22;
    if (at + whole > plot.width && at > LEFT_PX + 4) break;
    g.globalAlpha = 0.88;
    g.fillStyle = colours.ground;
    g.fillRect(at - 2, top + 3, whole - 18, HEAD_PX);
    g.globalAlpha = 1;
    penOf(g, series, penColour(series, colours), 2.2);
    line(g, at, middle, at + 24, middle);
    g.setLineDash([]);
    g.fillStyle = colours.ink;
    g.fillText(series.name, at + 30, middle + 1);
    g.font = `700 14px ${colours.figures}`;
    g.fillText(figure, at + 30 + nameWidth, middle + 1);
    g.font = `14px ${colours.words}`;
    g.fillStyle = colours.soft;
    g.fillText(unit, at + 30 + nameWidth + figureWidth, middle + 1);
    at += whole;
  }
}

function penColour(series: LaneSeries, colours: LaneColours): string {
  return colours.signals[series.style.slot] ?? colours.ink;
}

function drawTimes(g: CanvasRenderingContext2D, span: Span, { x, width, bottom }: Plot, height: number, colours: LaneColours): void {
  g.font = `13px ${colours.figures}`;
  g.textAlign = "center";
  g.textBaseline = "middle";
  g.strokeStyle = colours.hair;
  g.lineWidth = 1;
  const ticks = niceTicks(span.fromS, span.toS, Math.max(3, Math.round(width / 140)));
  for (const tick of ticks.values) {
    if (tick < span.fromS || tick > span.toS) continue;
    line(g, x(tick), 0, x(tick), bottom);
    g.fillStyle = colours.soft;
    g.fillText(`${formatNumber(tick, ticks.decimals)} s`, Math.min(width - 30, Math.max(LEFT_PX + 20, x(tick))), height - 10);
  }
}

/** A value as far as an eye reads it from a trace: four figures, fewer where there is nothing behind them. */
export function significant(value: number): string {
  return Math.abs(value) >= 1000 ? Math.round(value).toString() : Number(value.toPrecision(4)).toString();
}

let kept: { readonly key: string; readonly colours: LaneColours } | undefined;

/** The page's colours as a canvas needs them; read anew only when paper and bay were exchanged, since asking costs a frame's share. */
export function coloursOf(element: Element): LaneColours {
  const key = `${document.documentElement.dataset.theme ?? ""} ${matchMedia("(prefers-color-scheme: dark)").matches} ${matchMedia("print").matches}`;
  if (kept?.key === key) return kept.colours;
  const style = getComputedStyle(element);
  const get = (name: string): string => style.getPropertyValue(`--${name}`).trim();
  const colours: LaneColours = {
    ground: get("ground"),
    raised: get("raised"),
    ink: get("ink"),
    soft: get("soft"),
    hair: get("hair"),
    line: get("line"),
    evidence: get("evidence"),
    accent: get("accent"),
    signals: Array.from({ length: 8 }, (_, i) => get(`g${i}`)),
    words: get("words"),
    figures: get("figures"),
  };
  kept = { key, colours };
  return colours;
}
