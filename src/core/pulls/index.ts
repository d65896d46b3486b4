export { analysePull, type PullAnalysis, type PullOptions } from "./analyse.ts";
export type { Peak, PullCurve } from "./curve.ts";
export type { SweepDriveline } from "./driveline-of-sweep.ts";
export { readSweepNotes, type SweepNotes } from "./preamble.ts";
export { type PullReadings, READING_LAG_S } from "./reading.ts";
export type { PowerSource, RoadLoad, SweepSamples } from "./samples.ts";
export type { SweepSpan } from "./span.ts";
export { POWER_STANDARDS, type PowerStandard, powerStandard, saeJ1349WithFrictionKw, type Validity } from "./standards/index.ts";
