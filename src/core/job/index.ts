export type { Packet } from "./packet.ts";
export { type JobOptions, type JobOutcome, runJob, sheetPaths } from "./run-job.ts";
