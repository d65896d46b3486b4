export { type Calibration, calibrationOf } from "./calibration.ts";
export { axisPosition, lookUp, lookUpCurve, lookUpWeights } from "./look-up.ts";
export { describeRole, isRole, ROLES, type Role, type RoleDescription } from "./roles.ts";
export { type Axis, type CellFormat, cellAt, columnsOf, curve, grid, rowsOf, single, type Table, withCells } from "./table.ts";
