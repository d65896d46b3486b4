import type { AnalysisView } from "../api/index.ts";

/** Least and greatest value of some series in each pixel column of a span: what a screen can show of any number of samples. */
export interface WindowAsk {
  readonly what: "window";
  readonly recording: number;
  readonly signals: readonly string[];
  readonly fromS: number;
  readonly toS: number;
  readonly width: number;
}

/** Samples thinned for the operating map: x, y, colour and time of at most `most` points. */
export interface MapAsk {
  readonly what: "map";
  readonly recording: number;
  readonly colour: string;
  readonly most: number;
}

export interface ReportAsk {
  readonly what: "report";
  readonly kind: "job" | "owner" | "workshop";
  readonly units: "metric" | "imperial";
}

/** What the desk can be asked about a job; everything but `analyse` needs the analysis and makes it when it is missing. */
export type Ask = { readonly what: "analyse" } | WindowAsk | MapAsk | ReportAsk;

export interface Answers {
  readonly analyse: AnalysisView;
  /** Float32 blocks: for each signal `width` least values, then `width` greatest. */
  readonly window: Uint8Array;
  /** Float32 blocks: time, rpm, pressure, colour. */
  readonly map: Uint8Array;
  readonly report: string;
}

export interface DeskRequest {
  readonly id: number;
  readonly slug: string;
  readonly ask: Ask;
}

export type DeskReply =
  | { readonly id: number; readonly kind: "answer"; readonly answer: unknown }
  | { readonly id: number; readonly kind: "progress"; readonly text: string; readonly share: number }
  | { readonly id: number; readonly kind: "problem"; readonly what: string };
