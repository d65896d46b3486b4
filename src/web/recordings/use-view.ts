import { useCallback, useState } from "react";
import type { RecordingView } from "../../api/index.ts";
import type { Span } from "./use-window.ts";

/** The shortest span that can be looked at [s]. */
const SHORTEST_S = 0.2;

/** What is looked at: a span, a cursor shared by all lanes, and a span chosen for its statistics; and the ways to move them. */
export interface TraceView {
  readonly span: Span;
  readonly cursorS: number | undefined;
  readonly chosen: Span | undefined;
  readonly whole: Span;
  pan(byS: number): void;
  zoom(factor: number, aboutS?: number): void;
  cursor(atS: number): void;
  /** Moves the cursor by so many pixels' worth of the span. */
  step(byPixels: number): void;
  choose(span: Span | undefined): void;
  /** Chooses a span and goes to look at it, with a little of what lies around. The same function as long as the recording is. */
  visit(span: Span): void;
  toMoment(direction: 1 | -1): void;
  toStart(): void;
  toEnd(): void;
  toWhole(): void;
  chooseFrom(): void;
  chooseTo(): void;
}

export function useView(recording: RecordingView, linked: Span | undefined): TraceView {
  const whole: Span = { fromS: 0, toS: recording.durationS };
  const [span, setSpan] = useState<Span>(linked === undefined ? whole : around(linked, whole));
  const [cursorS, setCursorS] = useState<number | undefined>(linked?.fromS);
  const [chosen, setChosen] = useState<Span | undefined>(linked);
  const length = span.toS - span.fromS;
  const within = (next: Span): Span => {
    const kept = Math.min(recording.durationS, Math.max(SHORTEST_S, next.toS - next.fromS));
    const fromS = Math.min(Math.max(0, next.fromS), recording.durationS - kept);
    return { fromS, toS: fromS + kept };
  };
  const inside = (atS: number): number => Math.min(recording.durationS, Math.max(0, atS));
  const pan = (byS: number): void => setSpan((old) => within({ fromS: old.fromS + byS, toS: old.toS + byS }));
  const { durationS } = recording;
  const visit = useCallback(
    (next: Span): void => {
      setChosen(next);
      setCursorS(next.fromS);
      setSpan(around(next, { fromS: 0, toS: durationS }));
    },
    [durationS],
  );
  return {
    span,
    cursorS,
    chosen,
    whole,
    pan,
    visit,
    zoom: (factor, aboutS) =>
      setSpan((old) => {
        const about = aboutS ?? middleOf(old, cursorS);
        return within({ fromS: about - (about - old.fromS) * factor, toS: about + (old.toS - about) * factor });
      }),
    cursor: (atS) => setCursorS(inside(atS)),
    step: (byPixels) => {
      const next = inside((cursorS ?? middleOf(span, undefined)) + (byPixels * length) / 1000);
      setCursorS(next);
      if (next < span.fromS || next > span.toS) pan(next < span.fromS ? next - span.fromS : next - span.toS);
    },
    choose: setChosen,
    toMoment: (direction) => {
      const at = cursorS ?? span.fromS;
      const ordered = [...recording.moments].sort((a, b) => a.fromS - b.fromS);
      const next = direction === 1 ? ordered.find((moment) => moment.fromS > at + 0.05) : ordered.reverse().find((moment) => moment.fromS < at - 0.05);
      if (next !== undefined) visit(next);
    },
    toStart: () => setSpan(within({ fromS: 0, toS: length })),
    toEnd: () => setSpan(within({ fromS: recording.durationS - length, toS: recording.durationS })),
    toWhole: () => setSpan(whole),
    chooseFrom: () => setChosen(ordered(cursorS ?? span.fromS, Math.max(chosen?.toS ?? span.toS, cursorS ?? span.fromS))),
    chooseTo: () => setChosen(ordered(Math.min(chosen?.fromS ?? span.fromS, cursorS ?? span.toS), cursorS ?? span.toS)),
  };
}

function ordered(fromS: number, toS: number): Span {
  return { fromS: Math.min(fromS, toS), toS: Math.max(fromS, toS) };
}

function middleOf(span: Span, cursorS: number | undefined): number {
  return cursorS !== undefined && cursorS >= span.fromS && cursorS <= span.toS ? cursorS : (span.fromS + span.toS) / 2;
}

function around(span: Span, whole: Span): Span {
  const margin = Math.max(2, (span.toS - span.fromS) * 0.4);
  return { fromS: Math.max(whole.fromS, span.fromS - margin), toS: Math.min(whole.toS, span.toS + margin) };
}
