export { POWER_STANDARDS, type PowerStandard, powerStandard, saeJ1349WithFrictionKw, type Validity } from "./standards/index.ts";
