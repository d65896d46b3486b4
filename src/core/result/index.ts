export { answerTo, findingKey } from "./finding-key.ts";
export { cylinderL, type Intake } from "./intake.ts";
export {
  type AlignmentSummary,
  type Correction,
  type Edit,
  type EditKind,
  type Evidence,
  FAULTS,
  type FaultId,
  type Finding,
  type PullResult,
  type RecordingSummary,
  type Region,
  type Result,
  type Severity,
  type Suspect,
} from "./result.ts";
