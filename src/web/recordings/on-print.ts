import { useEffect, useRef } from "react";

/** Draws a canvas anew at once when the page goes to paper and when it comes back: paper is light, whatever the room is. */
export function useRedrawForPrint(draw: () => void): void {
  const latest = useRef(draw);
  latest.current = draw;
  useEffect(() => {
    const media = matchMedia("print");
    const again = (): void => latest.current();
    media.addEventListener("change", again);
    return () => media.removeEventListener("change", again);
  }, []);
}
