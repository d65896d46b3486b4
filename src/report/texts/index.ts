export type { Caution } from "./cautions.ts";
export { capital, ENGLISH, lower, sentence, type Texts } from "./english.ts";
export type { FaultText } from "./faults.ts";
