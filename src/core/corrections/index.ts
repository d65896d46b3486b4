export {
  type CellChange,
  type CorrectionDefinition,
  type CorrectionInput,
  type CorrectionOutcome,
  type CorrectionProposal,
  HOLD_PROBABILITY,
} from "./define.ts";
export { type DriveGuide, type DriveVisit, driveGuide, driveGuideSheet } from "./drive-guide.ts";
export {
  deadTimeFromSheetMs,
  flowFromSheetGps,
  type InjectorMatch,
  type InjectorSheet,
  impliedRatedFlowGps,
  matchInjectors,
  type Rail,
  railOf,
} from "./fuel/injector-sheet.ts";
export { proposeCorrections } from "./propose.ts";
export { CORRECTIONS } from "./registry.ts";
