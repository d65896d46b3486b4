import { useEffect, useRef, useState } from "react";
import { hexOf, valueColour } from "../../drawing/index.ts";
import { client } from "../state/client.ts";
import type { Shown as ShownUnit } from "../state/units.ts";
import { coloursOf } from "./draw-lanes.ts";
import type { Span } from "./use-window.ts";

const LEFT = 56;
const BOTTOM = 40;

/** Engine speed × pressure, a point a sample, coloured by a signal. A rectangle drawn on it finds its instants in the traces. */
export function OperatingMap(props: {
  readonly slug: string;
  readonly recording: number;
  readonly colour: string;
  readonly colourName: string;
  readonly unit: ShownUnit;
  readonly pressure: ShownUnit;
  readonly chosen: Span | undefined;
  readonly found: (times: readonly number[]) => void;
}) {
  const { slug, recording, colour, unit, pressure, chosen } = props;
  const canvas = useRef<HTMLCanvasElement>(null);
  const [blocks, setBlocks] = useState<Float32Array>();
  const [box, setBox] = useState<{ x0: number; y0: number; x1: number; y1: number }>();
  useEffect(() => {
    let current = true;
    void client.map(slug, recording, colour, 20_000).then(
      (data) => current && setBlocks(data),
      () => current && setBlocks(new Float32Array(0)),
    );
    return () => {
      current = false;
    };
  }, [slug, recording, colour]);
  const n = (blocks?.length ?? 0) / 4;
  const part = (k: number): Float32Array => blocks!.subarray(k * n, (k + 1) * n);
  const range = (values: Float32Array): [number, number] => {
    const sorted = values.filter((value) => !Number.isNaN(value)).sort();
    return sorted.length === 0 ? [0, 1] : [sorted[Math.floor(0.02 * sorted.length)]!, sorted[Math.ceil(0.98 * sorted.length) - 1]!];
  };
  const [low, high] = n === 0 ? [0, 1] : range(part(3));
  const extent = (values: Float32Array): [number, number] =>
    values.reduce<[number, number]>(([a, b], v) => [Math.min(a, v), Math.max(b, v)], [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]);
  const [rpmLow, rpmHigh] = n === 0 ? [0, 6000] : extent(part(1));
  const [mapLow, mapHigh] = n === 0 ? [20, 100] : extent(part(2));
  useEffect(() => {
    const element = canvas.current!;
    const ratio = devicePixelRatio || 1;
    element.width = Math.round(element.clientWidth * ratio);
    element.height = Math.round(element.clientHeight * ratio);
    const g = element.getContext("2d")!;
    g.setTransform(ratio, 0, 0, ratio, 0, 0);
    const colours = coloursOf(element);
    const [w, h] = [element.clientWidth, element.clientHeight];
    g.fillStyle = colours.ground;
    g.fillRect(0, 0, w, h);
    g.fillStyle = colours.soft;
    g.font = "13px monospace";
    const x = (rpm: number): number => LEFT + ((rpm - rpmLow) / (rpmHigh - rpmLow || 1)) * (w - LEFT - 12);
    const y = (kpa: number): number => h - BOTTOM - ((kpa - mapLow) / (mapHigh - mapLow || 1)) * (h - BOTTOM - 12);
    for (const share of [0, 0.5, 1]) {
      g.textAlign = "right";
      g.fillText(pressure.show(mapLow + share * (mapHigh - mapLow)).toFixed(0), LEFT - 8, y(mapLow + share * (mapHigh - mapLow)) + 4);
      g.textAlign = share === 1 ? "right" : "center";
      g.fillText((rpmLow + share * (rpmHigh - rpmLow)).toFixed(0), x(rpmLow + share * (rpmHigh - rpmLow)), h - BOTTOM + 18);
    }
    if (n === 0) return;
    const [times, rpm, map, value] = [part(0), part(1), part(2), part(3)];
    const palette = Array.from({ length: 32 }, (_, i) => hexOf(valueColour(i / 31)));
    for (let i = 0; i < n; i++) {
      if (Number.isNaN(value[i]!)) continue;
      const isChosen = chosen !== undefined && times[i]! >= chosen.fromS && times[i]! <= chosen.toS;
      g.globalAlpha = chosen === undefined || isChosen ? 0.8 : 0.15;
      g.fillStyle = palette[Math.min(31, Math.max(0, Math.floor((32 * (value[i]! - low)) / (high - low || 1))))]!;
      g.fillRect(x(rpm[i]!) - 1.5, y(map[i]!) - 1.5, 3, 3);
    }
    g.globalAlpha = 1;
    if (box === undefined) return;
    g.strokeStyle = colours.accent;
    g.lineWidth = 2;
    g.strokeRect(Math.min(box.x0, box.x1), Math.min(box.y0, box.y1), Math.abs(box.x1 - box.x0), Math.abs(box.y1 - box.y0));
  });
  const find = (end: { x0: number; y0: number; x1: number; y1: number }): void => {
    const element = canvas.current!;
    const [w, h] = [element.clientWidth, element.clientHeight];
    const rpmAt = (px: number): number => rpmLow + ((px - LEFT) / (w - LEFT - 12)) * (rpmHigh - rpmLow);
    const kpaAt = (py: number): number => mapLow + ((h - BOTTOM - py) / (h - BOTTOM - 12)) * (mapHigh - mapLow);
    const [r0, r1] = [rpmAt(Math.min(end.x0, end.x1)), rpmAt(Math.max(end.x0, end.x1))];
    const [p0, p1] = [kpaAt(Math.max(end.y0, end.y1)), kpaAt(Math.min(end.y0, end.y1))];
    const [times, rpm, map] = [part(0), part(1), part(2)];
    props.found([...times].filter((_, i) => rpm[i]! >= r0 && rpm[i]! <= r1 && map[i]! >= p0 && map[i]! <= p1));
  };
  const place = (event: { clientX: number; clientY: number }): [number, number] => {
    const rect = canvas.current!.getBoundingClientRect();
    return [event.clientX - rect.left, event.clientY - rect.top];
  };
  return (
    <figure className="operating-map">
      <canvas
        ref={canvas}
        aria-label={`Operating map: ${props.colourName} over engine speed and manifold pressure, ${n} points`}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          const [px, py] = place(event);
          setBox({ x0: px, y0: py, x1: px, y1: py });
        }}
        onPointerMove={(event) => {
          if (event.buttons !== 1 || box === undefined) return;
          const [px, py] = place(event);
          setBox({ ...box, x1: px, y1: py });
        }}
        onPointerUp={() => {
          if (box === undefined || n === 0) return;
          if (Math.abs(box.x1 - box.x0) < 4) {
            setBox(undefined);
            props.found([]);
          } else find(box);
        }}
      />
      <figcaption>
        {props.colourName} from <span className="figure">{unit.show(low).toPrecision(3)}</span> (dark) to{" "}
        <span className="figure">{unit.show(high).toPrecision(3)}</span> {unit.unit} (light); across engine speed [rpm], up manifold absolute pressure [
        {pressure.unit}]. Draw a rectangle to find its instants in the traces.
      </figcaption>
    </figure>
  );
}
