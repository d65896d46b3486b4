import { useEffect, useRef } from "react";

const MEDIA = ["print", "(prefers-color-scheme: dark)"] as const;

/**
 * Draws a canvas anew at once when its colours change: paper and bay exchanged by hand or by the system, the page going to paper and coming back
 * (paper is light, whatever the room is), fonts that come late.
 */
export function useRedrawOnTheme(draw: () => void): void {
  const latest = useRef(draw);
  latest.current = draw;
  useEffect(() => {
    const again = (): void => latest.current();
    const media = MEDIA.map((query) => matchMedia(query));
    for (const each of media) each.addEventListener("change", again);
    const observer = new MutationObserver(again);
    observer.observe(document.documentElement, { attributeFilter: ["data-theme"] });
    void document.fonts.ready.then(again);
    return () => {
      for (const each of media) each.removeEventListener("change", again);
      observer.disconnect();
    };
  }, []);
}
