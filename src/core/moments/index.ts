export { MOMENT_KINDS, type Moment, type MomentKind } from "./moment.ts";
