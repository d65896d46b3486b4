import { type Picture, profile, strip } from "../../drawing/index.ts";
import type { AlignmentDetail } from "../model.ts";
import { ENGLISH, type Texts } from "../texts/index.ts";

/** Within so much of the least difference a delay counts as the one that lies there. */
const NEAR_LEAST = 1.05;

/** Mixture asked for over mixture measured, as logged and moved back; and the difference that each delay would leave. `pictureId` gives a name of its own to each. */
export function alignmentPictures(detail: AlignmentDetail, pictureId: () => string, texts: Texts = ENGLISH): readonly Picture[] {
  const { file, caption, window, tried, delayS } = detail;
  const t = texts.recordings;
  const series = (signal: string, label: string, values: ArrayLike<number>) => ({
    signal,
    label,
    timeS: window.timeS,
    values: Array.from(values, (share) => 100 * share),
  });
  const asked = series("lambdaTarget", t.mixtureAsked, window.asked);
  const range = bounds([window.asked, window.asLogged, window.movedBack].map((column) => Array.from(column, (share) => 100 * share)));
  const swing = strip({
    id: pictureId(),
    title: t.alignmentTitle(file),
    caption,
    fromS: window.timeS[0] ?? 0,
    toS: window.timeS[window.timeS.length - 1] ?? 1,
    lanes: [
      { unit: "%", range, series: [asked, series("lambda", t.mixtureAsLogged, window.asLogged)] },
      { unit: "%", range, series: [asked, series("lambda", t.mixtureMovedBack, window.movedBack)] },
    ],
    laneHeightPx: 110,
    words: texts.pictures,
  });
  const left = Array.from(tried.left, (share) => 100 * share);
  const inUse = left[nearest(tried.delayS, delayS)] ?? 0;
  const delay = `${delayS.toFixed(2)} s`;
  const curve = profile({
    id: pictureId(),
    title: t.delayTitle(file),
    caption: inUse <= NEAR_LEAST * Math.min(...left) ? t.delayCaption(delay) : t.delayNotLeast(delay),
    heightPx: 260,
    x: { name: t.delayTried, unit: "s", values: tried.delayS },
    y: { name: t.delayLeft, unit: "%" },
    lines: [{ label: t.mixtureMovedBack, after: left }],
    words: texts.pictures,
  });
  return [swing, curve];
}

function bounds(columns: readonly (readonly number[])[]): [number, number] {
  const values = columns.flat().filter((value) => Number.isFinite(value));
  return values.length === 0 ? [-1, 1] : [Math.min(...values), Math.max(...values)];
}

function nearest(values: ArrayLike<number>, to: number): number {
  let best = 0;
  for (let k = 1; k < values.length; k++) if (Math.abs(values[k]! - to) < Math.abs(values[best]! - to)) best = k;
  return best;
}
