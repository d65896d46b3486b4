import { type PointerEvent, useEffect, useLayoutEffect, useRef, useState, type WheelEvent } from "react";
import { coloursOf, drawLanes, LANE_PX, type Lane, LEFT_PX } from "./draw-lanes.ts";
import type { Shown, Span } from "./use-window.ts";

export interface LanesView {
  readonly span: Span;
  readonly cursorS: number | undefined;
  readonly chosen: Span | undefined;
  readonly evidence: Span | undefined;
}

/** The traces on one canvas: wheel and pinch zoom about the pointer, dragging pans, Shift and dragging chooses a span. */
export function Lanes(props: {
  readonly lanes: readonly Lane[];
  readonly shown: Shown | undefined;
  readonly view: LanesView;
  readonly onWidth: (px: number) => void;
  readonly pan: (byS: number) => void;
  readonly zoom: (factor: number, aboutS: number) => void;
  readonly cursor: (atS: number) => void;
  readonly choose: (span: Span | undefined) => void;
}) {
  const { lanes, shown, view } = props;
  const canvas = useRef<HTMLCanvasElement>(null);
  const [width, setWidth] = useState(0);
  const pointers = useRef(new Map<number, number>());
  const chosenFrom = useRef<number>(undefined);
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
    if (width === 0) return;
    const frame = requestAnimationFrame(() => drawLanes(canvas.current!, lanes, shown, view, coloursOf(canvas.current!)));
    return () => cancelAnimationFrame(frame);
  });
  const perPixelS = (view.span.toS - view.span.fromS) / Math.max(1, width - LEFT_PX);
  const timeAt = (clientX: number): number => view.span.fromS + (clientX - canvas.current!.getBoundingClientRect().left - LEFT_PX) * perPixelS;
  const move = (event: PointerEvent): void => {
    const at = timeAt(event.clientX);
    props.cursor(at);
    const before = pointers.current.get(event.pointerId);
    if (before === undefined) return;
    if (pointers.current.size === 2) {
      const other = [...pointers.current].find(([id]) => id !== event.pointerId)![1];
      props.zoom(Math.abs(before - other) / Math.max(10, Math.abs(event.clientX - other)), timeAt(other));
    } else if (chosenFrom.current !== undefined) {
      const from = chosenFrom.current;
      props.choose({ fromS: Math.min(from, at), toS: Math.max(from, at) });
    } else props.pan((before - event.clientX) * perPixelS);
    pointers.current.set(event.pointerId, event.clientX);
  };
  return (
    <canvas
      ref={canvas}
      className="lanes"
      style={{ height: lanes.length * LANE_PX + 22 }}
      aria-label={`Traces of ${lanes.map((lane) => lane.name).join(", ")}; the figures stand in the table below`}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        pointers.current.set(event.pointerId, event.clientX);
        chosenFrom.current = event.shiftKey ? timeAt(event.clientX) : undefined;
      }}
      onPointerMove={move}
      onPointerUp={(event) => {
        pointers.current.delete(event.pointerId);
        chosenFrom.current = undefined;
      }}
      onWheel={(event: WheelEvent) => {
        if (event.shiftKey) props.pan(event.deltaY * perPixelS);
        else props.zoom(Math.exp(event.deltaY * 0.0015), timeAt(event.clientX));
      }}
    />
  );
}
