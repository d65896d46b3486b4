import { useEffect, useState } from "react";
import type { GuideView, HeardView } from "../../api/index.ts";
import { client } from "../state/client.ts";

/** How a region stands: a region once visited stays ticked off, whatever becomes of the file. */
export type VisitState = "visited" | "left out" | "open";

export interface Drive {
  readonly heard: HeardView | undefined;
  /** The bench itself does not answer. */
  readonly isLost: boolean;
  readonly states: readonly VisitState[];
  leaveOut(visit: number): void;
}

/** The recording as it is heard, and what of the guide is done. */
export function useDrive(slug: string, file: string | undefined, guide: GuideView): Drive {
  const [heard, setHeard] = useState<HeardView>();
  const [isLost, setLost] = useState(false);
  const [visited, setVisited] = useState<ReadonlySet<number>>(new Set());
  const [leftOut, setLeftOut] = useState<ReadonlySet<number>>(new Set());
  useEffect(
    () =>
      client.follow(
        slug,
        file,
        (view) => {
          setLost(false);
          setHeard(view);
          const done = guide.visits.flatMap((visit, k) => ((view.visitS[k] ?? 0) >= visit.seconds ? [k] : []));
          setVisited((old) => (done.every((k) => old.has(k)) ? old : new Set([...old, ...done])));
        },
        () => setLost(true),
      ),
    [slug, file, guide],
  );
  useScreenAwake();
  return {
    heard,
    isLost,
    states: guide.visits.map((_, k) => (visited.has(k) ? "visited" : leftOut.has(k) ? "left out" : "open")),
    leaveOut: (visit) => setLeftOut((old) => new Set([...old, visit])),
  };
}

/** Nobody touches the laptop while driving: the screen must not go dark by itself. A browser that cannot do so is left alone. */
function useScreenAwake(): void {
  useEffect(() => {
    let lock: { release(): Promise<void> } | undefined;
    let isOver = false;
    const hold = async (): Promise<void> => {
      if (document.visibilityState !== "visible" || navigator.wakeLock === undefined) return;
      const held = await navigator.wakeLock.request("screen").catch(() => undefined);
      if (isOver) void held?.release();
      else lock = held;
    };
    const again = (): void => void hold();
    again();
    document.addEventListener("visibilitychange", again);
    return () => {
      isOver = true;
      document.removeEventListener("visibilitychange", again);
      void lock?.release();
    };
  }, []);
}
