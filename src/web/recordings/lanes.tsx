import { type PointerEvent, useEffect, useLayoutEffect, useRef, useState } from "react";
import { coloursOf, drawLanes, FOOT_PX, LEFT_PX, type Overlaid } from "./draw-lanes.ts";
import type { Lane } from "./lanes-of.ts";
import { useRedrawOnTheme } from "./on-theme.ts";
import type { TraceView } from "./use-view.ts";
import type { Shown, Span } from "./use-window.ts";

/** Room that the page takes above and below the lanes, so that the usual ones fit without scrolling [px]. */
const TAKEN_PX = 366;
const LEAST_LANE_PX = 66;
const MOST_LANE_PX = 120;
/** Wheel's distance to zoom: a notch of 100 is about an eighth. */
const ZOOM_PER_WHEEL_PX = 0.0014;

/** The traces on one canvas: wheel and pinch zoom about the pointer, dragging pans, Shift and dragging chooses a span. */
export function Lanes(props: {
  readonly lanes: readonly Lane[];
  readonly shown: Shown | undefined;
  readonly overlaid: Overlaid | undefined;
  readonly view: TraceView;
  readonly evidence: Span | undefined;
  readonly atCursor: ReadonlyMap<string, number>;
  readonly onWidth: (px: number) => void;
}) {
  const { lanes, view } = props;
  const canvas = useRef<HTMLCanvasElement>(null);
  const [width, setWidth] = useState(0);
  const pointers = useRef(new Map<number, number>());
  const chosenFrom = useRef<number>(undefined);
  const latest = useRef(view);
  latest.current = view;
  const lanePx = Math.round(Math.min(MOST_LANE_PX, Math.max(LEAST_LANE_PX, (innerHeight - TAKEN_PX) / Math.max(1, lanes.length))));
  const timeAt = (clientX: number): number => {
    const { span } = latest.current;
    const box = canvas.current!.getBoundingClientRect();
    return span.fromS + ((clientX - box.left - LEFT_PX) / Math.max(1, box.width - LEFT_PX)) * (span.toS - span.fromS);
  };
  const perPixelS = (): number => (latest.current.span.toS - latest.current.span.fromS) / Math.max(1, width - LEFT_PX);

  useLayoutEffect(() => {
    const element = canvas.current!;
    const observer = new ResizeObserver(() => {
      setWidth(element.clientWidth);
      props.onWidth(element.clientWidth - LEFT_PX);
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, [props.onWidth]);
  useEffect(() => {
    const element = canvas.current!;
    // React's own wheel listener is passive: the page would scroll away under the zoom.
    const wheel = (event: WheelEvent): void => {
      event.preventDefault();
      const turn = event.deltaY * (event.deltaMode === 1 ? 30 : 1);
      if (event.shiftKey) latest.current.pan(turn * perPixelS());
      else if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) latest.current.pan(event.deltaX * perPixelS());
      else latest.current.zoom(Math.exp(turn * ZOOM_PER_WHEEL_PX * (event.ctrlKey ? 5 : 1)), timeAt(event.clientX));
    };
    element.addEventListener("wheel", wheel, { passive: false });
    return () => element.removeEventListener("wheel", wheel);
  });
  const draw = (): void => {
    const { shown, overlaid, evidence, atCursor } = props;
    const { span, cursorS, chosen } = view;
    if (width > 0) drawLanes(canvas.current!, { lanes, shown, overlaid, span, cursorS, chosen, evidence, atCursor, lanePx }, coloursOf(canvas.current!));
  };
  useEffect(() => {
    if (width === 0) return;
    const frame = requestAnimationFrame(draw);
    return () => cancelAnimationFrame(frame);
  });
  useRedrawOnTheme(draw);

  const move = (event: PointerEvent): void => {
    const at = timeAt(event.clientX);
    const before = pointers.current.get(event.pointerId);
    if (before === undefined || chosenFrom.current !== undefined) view.cursor(at);
    if (before === undefined) return;
    pointers.current.set(event.pointerId, event.clientX);
    const other = [...pointers.current].find(([id]) => id !== event.pointerId)?.[1];
    if (other !== undefined) view.zoom(Math.max(10, Math.abs(before - other)) / Math.max(10, Math.abs(event.clientX - other)), timeAt(other));
    else if (chosenFrom.current === undefined) view.pan((before - event.clientX) * perPixelS());
    else view.choose({ fromS: Math.min(chosenFrom.current, at), toS: Math.max(chosenFrom.current, at) });
  };
  const lift = (event: PointerEvent): void => {
    pointers.current.delete(event.pointerId);
    chosenFrom.current = undefined;
  };
  return (
    <canvas
      ref={canvas}
      className="lanes"
      role="img"
      style={{ height: lanes.length * lanePx + FOOT_PX }}
      aria-label={`Traces of ${lanes.flatMap((lane) => lane.series.map((series) => series.name)).join(", ")}; the figures stand in the table below`}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        pointers.current.set(event.pointerId, event.clientX);
        chosenFrom.current = event.shiftKey ? timeAt(event.clientX) : undefined;
        view.cursor(timeAt(event.clientX));
      }}
      onPointerMove={move}
      onPointerUp={lift}
      onPointerCancel={lift}
    />
  );
}
