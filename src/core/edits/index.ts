export { explainEdit } from "./explain.ts";
export { explainEdits, roadSpeedRatio } from "./explain-all.ts";
