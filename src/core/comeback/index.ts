export { type CalibrationSince, type ComebackComparison, compareWithSignature, type Moved } from "./compare.ts";
export { MEASURES } from "./measures/index.ts";
export { type KeptMeasure, readSignature, type Signature, signatureOf, writeSignature } from "./signature.ts";
