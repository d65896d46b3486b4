export type { ExhaustAlignment, Observations } from "./observations.ts";
