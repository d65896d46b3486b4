export type { Check, CheckExample, CheckHit, CheckInput, CheckRun } from "./define.ts";
export { CHECKS } from "./registry.ts";
export { type ChecksInput, runChecks } from "./run.ts";
export { type WarmIdle, warmIdleOf } from "./warm-idle.ts";
