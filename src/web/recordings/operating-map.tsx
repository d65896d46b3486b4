import { memo, type PointerEvent, useEffect, useMemo, useRef, useState } from "react";
import type { RecordingView } from "../../api/index.ts";
import { client } from "../state/client.ts";
import { useUnits } from "../state/units.ts";
import { coloursOf } from "./draw-lanes.ts";
import { drawMap, type MapBox, type MapPoints, mapScale } from "./draw-map.ts";
import { spansOf } from "./found.ts";
import { useRedrawOnTheme } from "./on-theme.ts";
import type { Span } from "./use-window.ts";

const MOST_POINTS = 20_000;
const NOTHING: MapPoints = { timeS: new Float32Array(0), rpm: new Float32Array(0), kpa: new Float32Array(0), value: new Float32Array(0) };

/**
 * Engine speed × pressure, a point a sample, coloured by a signal or a residual; brushed both ways with the traces. It is left alone while
 * the traces pan: drawing its points at every frame would cost the pan its smoothness.
 */
export const OperatingMap = memo(function OperatingMap(props: {
  readonly slug: string;
  readonly recording: RecordingView;
  readonly chosen: Span | undefined;
  readonly cursorS: number | undefined;
  readonly visit: (span: Span) => void;
  readonly found: readonly Span[];
  readonly find: (spans: readonly Span[]) => void;
}) {
  const { recording, chosen, cursorS } = props;
  const units = useUnits();
  const ids = recording.signals.map((signal) => signal.id as string);
  const [colour, setColour] = useState(ids.includes("fuelResidual") ? "fuelResidual" : (ids[0] ?? "rpm"));
  const points = useMapPoints(props.slug, recording.index, colour);
  const [box, setBox] = useState<MapBox>();
  const canvas = useRef<HTMLCanvasElement>(null);
  const from = useRef<readonly [number, number]>(undefined);
  const signal = recording.signals.find((one) => one.id === colour);
  const valueUnit = useMemo(() => units(signal?.unit ?? ""), [units, signal?.unit]);
  const pressure = useMemo(() => units("kPa"), [units]);
  const ends = useMemo(() => ({ rpm: extent(points.rpm), kpa: extent(points.kpa), value: inner(points.value) }), [points]);
  const draw = (): void =>
    drawMap(
      canvas.current!,
      {
        points,
        ...ends,
        show: { pressure: pressure.show, value: valueUnit.show },
        names: { pressure: `Manifold pressure [${pressure.unit}]`, value: `[${valueUnit.unit}]` },
        chosen,
        cursorS,
        box,
      },
      coloursOf(canvas.current!),
    );
  // biome-ignore lint/correctness/useExhaustiveDependencies: what is drawn stands in the list; the function is made of it.
  useEffect(() => {
    const frame = requestAnimationFrame(draw);
    return () => cancelAnimationFrame(frame);
  }, [points, ends, pressure, valueUnit, chosen, cursorS, box]);
  useRedrawOnTheme(draw);

  const look = (next: MapBox | undefined): void => {
    setBox(next);
    props.find(next === undefined ? [] : spansOf(points, next));
  };
  const boxTo = (event: PointerEvent): MapBox | undefined => {
    const rect = canvas.current!.getBoundingClientRect();
    const at = [event.clientX - rect.left, event.clientY - rect.top] as const;
    const start = from.current ?? at;
    if (Math.abs(at[0] - start[0]) < 4 && Math.abs(at[1] - start[1]) < 4) return undefined;
    const scale = mapScale(ends, rect.width, rect.height);
    const across = [scale.rpmAt(start[0]), scale.rpmAt(at[0])].sort((a, b) => a - b) as [number, number];
    const up = [scale.kpaAt(start[1]), scale.kpaAt(at[1])].sort((a, b) => a - b) as [number, number];
    return { rpm: across, kpa: up };
  };
  return (
    <section>
      <h2>Where the engine was</h2>
      <div className="row">
        <label>
          <span>Coloured by</span>
          <select value={colour} onChange={(event) => setColour(event.target.value)}>
            {recording.signals.map((one) => (
              <option key={one.id} value={one.id}>
                {one.name}
              </option>
            ))}
          </select>
        </label>
        <BoxFields key={JSON.stringify([box, ends.rpm, ends.kpa])} box={box} ends={ends} pressure={pressure} look={look} />
      </div>
      <figure className="operating-map">
        <canvas
          ref={canvas}
          role="img"
          aria-label={`Operating map: ${signal?.name ?? colour} over engine speed and manifold pressure, ${points.timeS.length} points; the fields above choose a region without the pointer`}
          onPointerDown={(event) => {
            event.currentTarget.setPointerCapture(event.pointerId);
            const rect = event.currentTarget.getBoundingClientRect();
            from.current = [event.clientX - rect.left, event.clientY - rect.top];
          }}
          onPointerMove={(event) => from.current !== undefined && setBox(boxTo(event))}
          onPointerUp={(event) => {
            look(boxTo(event));
            from.current = undefined;
          }}
        />
        <figcaption>
          {signal?.name ?? colour} [{valueUnit.unit}] by engine speed and manifold absolute pressure. Draw a rectangle to find its instants in the traces; a
          span chosen in the traces stands out here.
        </figcaption>
      </figure>
      {box !== undefined && (
        <p>
          {props.found.length === 0 ? "The engine was never there." : `${props.found.length} ${props.found.length === 1 ? "span" : "spans"} of the recording:`}{" "}
          {props.found.slice(0, 12).map((span) => (
            <button key={span.fromS} type="button" className="link" onClick={() => props.visit(span)}>
              {span.fromS.toFixed(0)} to {span.toS.toFixed(0)} s
            </button>
          ))}
          {props.found.length > 12 ? ` and ${props.found.length - 12} more` : ""}
        </p>
      )}
    </section>
  );
});

/** The rectangle as four numbers: what the pointer draws, typed. */
function BoxFields(props: {
  readonly box: MapBox | undefined;
  readonly ends: MapBox;
  readonly pressure: { readonly unit: string; show(value: number): number; read(value: number): number };
  readonly look: (box: MapBox | undefined) => void;
}) {
  const { box, ends, pressure } = props;
  const shown = box ?? ends;
  const form = useRef<HTMLFormElement>(null);
  const read = (name: string): number => Number((form.current!.elements.namedItem(name) as HTMLInputElement).value);
  const field = (name: string, label: string, value: number, step: number) => (
    <label>
      <span>{label}</span>
      <input name={name} type="number" step="any" defaultValue={Math.round(value / step) * step} />
    </label>
  );
  return (
    <form
      ref={form}
      className="row box-fields"
      onSubmit={(event) => {
        event.preventDefault();
        props.look({ rpm: [read("rpmFrom"), read("rpmTo")], kpa: [pressure.read(read("kpaFrom")), pressure.read(read("kpaTo"))] });
      }}
    >
      {field("rpmFrom", "From [rpm]", shown.rpm[0], 1)}
      {field("rpmTo", "to [rpm]", shown.rpm[1], 1)}
      {field("kpaFrom", `From [${pressure.unit}]`, pressure.show(shown.kpa[0]), 1)}
      {field("kpaTo", `to [${pressure.unit}]`, pressure.show(shown.kpa[1]), 1)}
      <button type="submit">Find these</button>
      {box !== undefined && (
        <button type="button" onClick={() => props.look(undefined)}>
          Let go
        </button>
      )}
    </form>
  );
}

function useMapPoints(slug: string, recording: number, colour: string): MapPoints {
  const [points, setPoints] = useState(NOTHING);
  useEffect(() => {
    let isCurrent = true;
    const keep = (blocks: Float32Array): void => {
      if (!isCurrent) return;
      const n = blocks.length / 4;
      setPoints({ timeS: blocks.subarray(0, n), rpm: blocks.subarray(n, 2 * n), kpa: blocks.subarray(2 * n, 3 * n), value: blocks.subarray(3 * n) });
    };
    client.map(slug, recording, colour, MOST_POINTS).then(keep, () => keep(new Float32Array(0)));
    return () => {
      isCurrent = false;
    };
  }, [slug, recording, colour]);
  return points;
}

function extent(values: Float32Array): readonly [number, number] {
  let [least, greatest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of values) [least, greatest] = [Math.min(least, value), Math.max(greatest, value)];
  return least <= greatest ? [least, greatest] : [0, 1];
}

/** The middle 96 %: a few wild samples must not wash the colours out. */
function inner(values: Float32Array): readonly [number, number] {
  const sorted = values.filter((value) => !Number.isNaN(value)).sort();
  return sorted.length === 0 ? [0, 1] : [sorted[Math.floor(0.02 * sorted.length)]!, sorted[Math.ceil(0.98 * sorted.length) - 1]!];
}
