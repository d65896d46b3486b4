import { useEffect, useRef, useState } from "react";
import { client } from "../state/client.ts";

/** A span of a recording, on its own clock [s]. */
export interface Span {
  readonly fromS: number;
  readonly toS: number;
}

/** What the screen can show of a span: least and greatest value of each pixel column, for each signal. */
export interface Shown {
  readonly span: Span;
  readonly signals: readonly string[];
  readonly width: number;
  readonly blocks: Float32Array;
}

/**
 * Fetches the window of a span. While a new one is on its way the old one stays, so that a pan keeps moving; of many asks in a row
 * only the last is answered.
 */
export function useWindow(slug: string, recording: number, signals: readonly string[], span: Span, width: number): Shown | undefined {
  const [shown, setShown] = useState<Shown>();
  const busy = useRef(false);
  const wanted = useRef<() => Promise<void>>(undefined);
  const names = signals.join(",");
  useEffect(() => {
    if (names === "" || width < 10) return;
    const ask = async (): Promise<void> => {
      // A third more on either side, so that a pan has something to show at once.
      const marginS = (span.toS - span.fromS) / 3;
      const wide = { fromS: span.fromS - marginS, toS: span.toS + marginS };
      const columns = Math.round((width * 5) / 3);
      const blocks = await client.window(slug, recording, { signals: names.split(","), ...wide, width: columns });
      setShown({ span: wide, signals: names.split(","), width: columns, blocks });
    };
    wanted.current = ask;
    if (busy.current) return;
    busy.current = true;
    void (async () => {
      while (wanted.current !== undefined) {
        const next = wanted.current;
        wanted.current = undefined;
        await next().catch(() => undefined);
      }
      busy.current = false;
    })();
  }, [slug, recording, names, span.fromS, span.toS, width]);
  return shown;
}

/** Least and greatest value of a signal over a span of the window; undefined where it holds none. */
export function extremesOf(shown: Shown, signal: string, span: Span): { least: number; greatest: number } | undefined {
  const index = shown.signals.indexOf(signal);
  if (index < 0) return undefined;
  const perPixel = (shown.span.toS - shown.span.fromS) / shown.width;
  const first = Math.max(0, Math.floor((span.fromS - shown.span.fromS) / perPixel));
  const last = Math.min(shown.width, Math.ceil((span.toS - shown.span.fromS) / perPixel));
  const base = index * 2 * shown.width;
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  for (let i = first; i < last; i++) {
    if (shown.blocks[base + i]! < least) least = shown.blocks[base + i]!;
    if (shown.blocks[base + shown.width + i]! > greatest) greatest = shown.blocks[base + shown.width + i]!;
  }
  return Number.isFinite(least) ? { least, greatest } : undefined;
}
