import type { Numbers } from "./views.ts";

/** One region to hold in the next drive. */
export interface VisitView {
  readonly fromRpm: number;
  readonly toRpm: number;
  readonly fromKpa: number;
  readonly toKpa: number;
  readonly load: string;
  readonly seconds: number;
  readonly gear?: number;
  readonly kmh?: number;
  /** Share of the doubt that this visit is expected to take away. */
  readonly gainShare: number;
  readonly words: string;
}

/** Where to drive next, and where the drives so far have been. */
export interface GuideView {
  readonly visits: readonly VisitView[];
  readonly doubtPercent: number;
  readonly expectedDoubtPercent: number;
  readonly also: readonly string[];
  readonly cautions: readonly string[];
  /** Axes of the VE table. */
  readonly rpm: readonly number[];
  readonly kpa: readonly number[];
  /** Seconds near each cell in the recordings so far, row by row of pressure. */
  readonly dwellS: Numbers;
}

/** Where recordings appear while the logger writes them, newest first. */
export interface WatchView {
  /** null while none was given. */
  readonly folder: string | null;
  readonly files: readonly { readonly name: string; readonly bytes: number; readonly changedAt: string }[];
}

/** What was heard of a recording that is being written. */
export interface HeardView {
  readonly file: string;
  readonly rows: number;
  /** Where the engine is now; null while the recording does not say. */
  readonly rpm: number | null;
  readonly kpa: number | null;
  /** Seconds since the recording last grew. */
  readonly stillS: number;
  /** Seconds near each cell in this drive, as in the guide. */
  readonly dwellS: Numbers;
  /** Seconds in the region of each visit. */
  readonly visitS: readonly number[];
  /** Set when something keeps the recording from being followed, in words. */
  readonly says?: string;
}
