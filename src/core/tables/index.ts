export { bestAssignment } from "./assignment.ts";
export { type Calibration, calibrationOf } from "./calibration.ts";
export { type CellDecision, decidedCells } from "./decisions.ts";
export { axisPosition, lookUp, lookUpCurve, lookUpWeights } from "./look-up.ts";
export { resampleLike, sameAxes, sameAxis } from "./resample.ts";
export { proposeRoles, type RoleProposal, wordsOfTitle } from "./role-proposal.ts";
export { describeRole, isRole, ROLES, type Role, type RoleDescription } from "./roles.ts";
export { printedSlack, roundingStep, type Step } from "./step.ts";
export { type Axis, type CellFormat, cellAt, columnsOf, curve, grid, rowsOf, single, type Table, withCells } from "./table.ts";
