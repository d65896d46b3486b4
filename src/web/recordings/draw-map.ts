import { formatNumber, hexOf, niceTicks, valueColour } from "../../drawing/index.ts";
import type { LaneColours } from "./draw-lanes.ts";
import type { Span } from "./use-window.ts";

/** Points of the operating map, canonical units, one array a quantity. */
export interface MapPoints {
  readonly timeS: Float32Array;
  readonly rpm: Float32Array;
  readonly kpa: Float32Array;
  readonly value: Float32Array;
}

/** A rectangle on the map. */
export interface MapBox {
  readonly rpm: readonly [number, number];
  readonly kpa: readonly [number, number];
}

export interface MapScene {
  readonly points: MapPoints;
  readonly rpm: readonly [number, number];
  readonly kpa: readonly [number, number];
  /** Ends of the colour scale. */
  readonly value: readonly [number, number];
  readonly show: { readonly pressure: (kpa: number) => number; readonly value: (value: number) => number };
  readonly names: { readonly pressure: string; readonly value: string };
  readonly chosen: Span | undefined;
  readonly cursorS: number | undefined;
  readonly box: MapBox | undefined;
}

export const MAP_LEFT = 62;
export const MAP_BOTTOM = 46;
const MAP_TOP = 12;
const RIGHT = 120;
const SHADES = Array.from({ length: 48 }, (_, i) => hexOf(valueColour(i / 47)));

/** Pixels of an operating point, and back. */
export function mapScale(scene: Pick<MapScene, "rpm" | "kpa">, width: number, height: number) {
  const [across, up] = [width - MAP_LEFT - RIGHT, height - MAP_BOTTOM - MAP_TOP];
  const [rpmSpan, kpaSpan] = [scene.rpm[1] - scene.rpm[0] || 1, scene.kpa[1] - scene.kpa[0] || 1];
  return {
    x: (rpm: number): number => MAP_LEFT + ((rpm - scene.rpm[0]) / rpmSpan) * across,
    y: (kpa: number): number => height - MAP_BOTTOM - ((kpa - scene.kpa[0]) / kpaSpan) * up,
    rpmAt: (px: number): number => scene.rpm[0] + ((px - MAP_LEFT) / across) * rpmSpan,
    kpaAt: (py: number): number => scene.kpa[0] + ((height - MAP_BOTTOM - py) / up) * kpaSpan,
  };
}

/** Draws the map: points by colour, what is chosen in the traces brought forward, the cursor ringed, the scale beside it. */
export function drawMap(canvas: HTMLCanvasElement, scene: MapScene, colours: LaneColours): void {
  const ratio = devicePixelRatio || 1;
  const [width, height] = [canvas.clientWidth, canvas.clientHeight];
  canvas.width = Math.round(width * ratio);
  canvas.height = Math.round(height * ratio);
  const g = canvas.getContext("2d", { alpha: false })!;
  g.setTransform(ratio, 0, 0, ratio, 0, 0);
  g.fillStyle = colours.ground;
  g.fillRect(0, 0, width, height);
  const scale = mapScale(scene, width, height);
  drawAxes(g, scene, scale, width, height, colours);
  drawPoints(g, scene, scale, colours);
  drawCursor(g, scene, scale, colours);
  drawLegend(g, scene, width, height, colours);
  if (scene.box === undefined) return;
  const [x0, x1] = [scale.x(scene.box.rpm[0]), scale.x(scene.box.rpm[1])];
  const [y0, y1] = [scale.y(scene.box.kpa[1]), scale.y(scene.box.kpa[0])];
  g.strokeStyle = colours.accent;
  g.lineWidth = 2;
  g.strokeRect(x0, y0, x1 - x0, y1 - y0);
}

function drawPoints(g: CanvasRenderingContext2D, { points, value, chosen }: MapScene, scale: ReturnType<typeof mapScale>, colours: LaneColours): void {
  const span = value[1] - value[0] || 1;
  const put = (isForward: boolean): void => {
    for (let i = 0; i < points.timeS.length; i++) {
      if (Number.isNaN(points.value[i]!)) continue;
      const isChosen = chosen !== undefined && points.timeS[i]! >= chosen.fromS && points.timeS[i]! <= chosen.toS;
      if (isChosen !== isForward) continue;
      const shade = SHADES[Math.min(47, Math.max(0, Math.floor((48 * (points.value[i]! - value[0])) / span)))]!;
      const size = isForward ? 5 : 3;
      // On a light ground the bright end of the scale would vanish without an edge.
      g.fillStyle = colours.soft;
      g.fillRect(scale.x(points.rpm[i]!) - size / 2 - 0.6, scale.y(points.kpa[i]!) - size / 2 - 0.6, size + 1.2, size + 1.2);
      g.fillStyle = shade;
      g.fillRect(scale.x(points.rpm[i]!) - size / 2, scale.y(points.kpa[i]!) - size / 2, size, size);
    }
  };
  g.globalAlpha = chosen === undefined ? 0.8 : 0.18;
  put(false);
  g.globalAlpha = 1;
  put(true);
}

function drawCursor(g: CanvasRenderingContext2D, { points, cursorS }: MapScene, scale: ReturnType<typeof mapScale>, colours: LaneColours): void {
  if (cursorS === undefined || points.timeS.length === 0) return;
  let at = 0;
  for (let i = 1; i < points.timeS.length; i++) if (Math.abs(points.timeS[i]! - cursorS) < Math.abs(points.timeS[at]! - cursorS)) at = i;
  if (Math.abs(points.timeS[at]! - cursorS) > 2) return;
  g.strokeStyle = colours.ink;
  g.lineWidth = 2.5;
  g.beginPath();
  g.arc(scale.x(points.rpm[at]!), scale.y(points.kpa[at]!), 9, 0, 2 * Math.PI);
  g.stroke();
}

function drawAxes(g: CanvasRenderingContext2D, scene: MapScene, scale: ReturnType<typeof mapScale>, width: number, height: number, colours: LaneColours): void {
  g.strokeStyle = colours.hair;
  g.lineWidth = 1;
  g.font = `13px ${colours.figures}`;
  g.fillStyle = colours.soft;
  g.textBaseline = "middle";
  const right = width - RIGHT;
  const across = niceTicks(scene.rpm[0], scene.rpm[1], Math.round(width / 130));
  g.textAlign = "center";
  for (const tick of across.values) {
    stroke(g, scale.x(tick), MAP_TOP, scale.x(tick), height - MAP_BOTTOM);
    g.fillText(formatNumber(tick, across.decimals), scale.x(tick), height - MAP_BOTTOM + 14);
  }
  // Ticks stand at round values of the unit that is shown.
  const { pressure } = scene.show;
  const up = niceTicks(pressure(scene.kpa[0]), pressure(scene.kpa[1]), 5);
  const perUnit = (scene.kpa[1] - scene.kpa[0]) / (pressure(scene.kpa[1]) - pressure(scene.kpa[0]) || 1);
  g.textAlign = "right";
  for (const tick of up.values) {
    const y = scale.y(scene.kpa[0] + (tick - pressure(scene.kpa[0])) * perUnit);
    stroke(g, MAP_LEFT, y, right, y);
    g.fillText(formatNumber(tick, up.decimals), MAP_LEFT - 8, y);
  }
  g.font = `14px ${colours.words}`;
  g.fillStyle = colours.ink;
  g.fillText("Engine speed [rpm]", right, height - 10);
  g.save();
  g.translate(14, MAP_TOP);
  g.rotate(-Math.PI / 2);
  g.fillText(scene.names.pressure, 0, 0);
  g.restore();
}

function drawLegend(g: CanvasRenderingContext2D, scene: MapScene, width: number, height: number, colours: LaneColours): void {
  const [left, top, bottom] = [width - RIGHT + 22, 34, height - MAP_BOTTOM];
  const step = (bottom - top) / SHADES.length;
  SHADES.forEach((shade, i) => {
    g.fillStyle = shade;
    g.fillRect(left, bottom - (i + 1) * step, 16, step + 0.5);
  });
  g.fillStyle = colours.ink;
  g.textAlign = "left";
  g.font = `14px ${colours.words}`;
  g.fillText(scene.names.value, left, 16);
  g.font = `13px ${colours.figures}`;
  const [low, high] = scene.value.map(scene.show.value) as [number, number];
  const ticks = niceTicks(Math.min(low, high), Math.max(low, high), 5);
  for (const tick of ticks.values) g.fillText(formatNumber(tick, ticks.decimals), left + 22, bottom - ((tick - low) / (high - low || 1)) * (bottom - top));
}

function stroke(g: CanvasRenderingContext2D, x0: number, y0: number, x1: number, y1: number): void {
  g.beginPath();
  g.moveTo(x0, y0);
  g.lineTo(x1, y1);
  g.stroke();
}
