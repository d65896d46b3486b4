export { type Remeasure, remeasureAfter } from "./after-repair.ts";
export type { Packet } from "./packet.ts";
export { type ReplayBin, type ReplayPart, replayParts } from "./replay-parts.ts";
export { fullLoadLambdaOf, type JobOptions, type JobOutcome, runJob, sheetPaths } from "./run-job.ts";
export { type MeanError, type RegionVerification, type TableVerification, type Verdict, type Verification, verifyRevision } from "./verify.ts";
