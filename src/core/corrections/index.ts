export {
  type CellChange,
  type CorrectionDefinition,
  type CorrectionInput,
  type CorrectionOutcome,
  type CorrectionProposal,
  HOLD_PROBABILITY,
} from "./define.ts";
export { proposeCorrections } from "./propose.ts";
export { CORRECTIONS } from "./registry.ts";
