export { defineMoment, type MomentDefinition, type MomentInput } from "./define.ts";
export { findMoments, MOMENTS } from "./find.ts";
export { MOMENT_KINDS, type Moment, type MomentKind } from "./moment.ts";
