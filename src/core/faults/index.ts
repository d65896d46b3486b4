export type { DirectEvidence, Fault, Manner, Story } from "./define.ts";
export type { Deviation, OperatingPoint, ResidualChannel } from "./deviation.ts";
export { type Diagnosis, diagnose, HOLD_FROM, type RepairFirst } from "./diagnose.ts";
export type { DiagnosisInput, EarlierPoint } from "./facts.ts";
export type { StoryPicture } from "./picture.ts";
export { FAULT_STORIES } from "./registry.ts";
export { type MovedResidual, movedResiduals, residualSignature } from "./signature.ts";
export { TROUBLE_CODES } from "./trouble-codes.ts";
export { type RankedTest, WORKSHOP_TESTS, type WorkshopTest, type WorkshopTestId } from "./workshop-tests/index.ts";
