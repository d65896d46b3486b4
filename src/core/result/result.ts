/** The shared vocabulary of what the tool says: shapes of `result.json` (schema "fettle.result/1"). Types only. */
export type Severity = "stop" | "fix" | "watch" | "note";

export type EditKind =
  | "unchanged"
  | "scaled"
  | "offset"
  | "zeroed"
  | "flattened"
  | "clamped"
  | "patched"
  | "part-scaled"
  | "part-offset"
  | "smoothed"
  | "spiked"
  | "reshaped"
  | "axes-changed"
  | "missing"
  | "added";

/** First and last [row, column], counted from zero, both included. */
export type Region = readonly [readonly [number, number], readonly [number, number]];

/** What was done to one table against its reference. */
export interface Edit {
  readonly table: string;
  readonly role?: string;
  readonly kind: EditKind;
  readonly by?: number;
  readonly cells: number;
  readonly region?: Region;
  readonly summary: string;
}

/** A claim about the calibration with its evidence and an action. */
export interface Finding {
  readonly check: string;
  readonly severity: Severity;
  readonly tables: readonly string[];
  readonly summary: string;
  readonly because: readonly string[];
  readonly do: string;
}

/** A sentence of evidence; with `recording` and span where it was seen. */
export interface Evidence {
  readonly text: string;
  readonly recording?: string;
  readonly fromS?: number;
  readonly toS?: number;
}

/** A fault with its probability among the competing stories. Probabilities of all suspects sum to 1. */
export interface Suspect {
  readonly fault: string;
  readonly probability: number;
  readonly for: readonly Evidence[];
  readonly against: readonly Evidence[];
  readonly next?: string;
  /** Fitted sizes with 90 % intervals, e.g. mm² of leak. */
  readonly sizes?: readonly { readonly name: string; readonly unit: string; readonly value: number; readonly low: number; readonly high: number }[];
}

/** A proposed table. `heldBecause` names the fault that would poison it; its sheet then lies in corrections/held/. */
export interface Correction {
  readonly role: string;
  readonly sheet: string;
  readonly cellsChanged: number;
  readonly cellsCovered: number;
  readonly meanAbsChangePercent: number;
  readonly confidence: string;
  readonly heldBecause?: string;
  readonly summary?: string;
  readonly limited?: readonly string[];
}

export interface PullResult {
  readonly file: string;
  readonly standard: string;
  readonly factor: number;
  readonly peakPowerKw: number;
  readonly peakPowerRpm: number;
  readonly peakTorqueNm: number;
  readonly peakTorqueRpm: number;
  readonly smoothing?: string;
  readonly ambient?: { readonly pressureKpa: number; readonly temperatureC: number; readonly relativeHumidityPercent: number; readonly source: string };
  /** Why the standard does not cover this factor or this ambient; absent where it does. */
  readonly beyondLimits?: string;
  /** Estimate at the flywheel, with what the loss between it and the rollers rests on. */
  readonly flywheel?: FlywheelFigures;
  readonly remarks?: readonly string[];
}

/** Corrected like the figures at the rollers. An estimate: the loss was stated, or measured without load. */
export interface FlywheelFigures {
  readonly peakPowerKw: number;
  readonly peakPowerRpm: number;
  readonly peakTorqueNm: number;
  readonly peakTorqueRpm: number;
  readonly basis: string;
}

export interface RecordingSummary {
  readonly file: string;
  readonly rows: number;
  readonly durationS: number;
  readonly signals: Readonly<Record<string, string>>;
  readonly unrecognised: readonly string[];
  readonly repairs: readonly string[];
  /** How the wide-range sensor's reading was moved to the mixture it tells of; absent where none was read. */
  readonly alignment?: AlignmentSummary;
}

/** Delay of the exhaust measurement at the middle airflow with its 90 % interval, and by how much mixture measured and asked for differ in their quick changes (shares). */
export interface AlignmentSummary {
  readonly source: "estimated" | "handbook";
  readonly delayS: number;
  readonly lowS: number;
  readonly highS: number;
  readonly airflowGps: number;
  readonly lagS: number;
  readonly differenceAsLogged: number;
  readonly differenceMovedBack: number;
}

/** The whole answer, as written to `result.json`. */
export interface Result {
  readonly schema: "fettle.result/1";
  readonly edits: readonly Edit[];
  readonly findings: readonly Finding[];
  readonly suspects: readonly Suspect[];
  readonly corrections: readonly Correction[];
  readonly pulls: readonly PullResult[];
  readonly recordings: readonly RecordingSummary[];
  readonly couldNot: readonly string[];
  /** What was taken as read: roles proposed, units assumed, files mended. */
  readonly remarks?: readonly string[];
}

/** The fixed names of faults (stories), `healthy` first. */
export const FAULTS = [
  "healthy",
  "air.unmetered-leak",
  "air.throttle-overflow",
  "air.throttle-restricted",
  "air.meter-low",
  "air.meter-high",
  "sensor.map-bias",
  "fuel.delivery-low",
  "fuel.injector-flow-mismatch",
  "fuel.injector-dead-time-mismatch",
  "exhaust.leak-ahead-of-sensor",
  "sensor.oxygen-slow",
  "cooling.runs-cold",
  "start.cam-signal-dropout",
  "ignition.knock",
  "electrical.low-voltage",
  "driveline.lockup-slip",
] as const;
export type FaultId = (typeof FAULTS)[number];
