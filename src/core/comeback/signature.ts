import { mean, median } from "../../base/index.ts";
import { type DiagnosisInput, type EarlierPoint, residualSignature } from "../faults/index.ts";
import type { Observations } from "../residuals/index.ts";
import { type Conditions, conditionsOf } from "./conditions.ts";
import { MEASURES, type Measure } from "./measures/index.ts";

/** A measure over all spells in which it was seen. */
export interface KeptMeasure {
  readonly id: string;
  readonly value: number;
  /** Standard deviation from spell to spell; 0 with a single one. */
  readonly scatter: number;
  readonly spells: number;
}

/** How a vehicle left: what it is held against when it comes back. */
export interface Signature {
  readonly schema: "fettle.signature/1";
  readonly residuals: readonly EarlierPoint[];
  readonly measures: readonly KeptMeasure[];
  readonly conditions: Conditions;
  /** Recordings that it was taken from. */
  readonly recordings: readonly string[];
  /** Measures that these recordings do not show. */
  readonly couldNot: readonly string[];
}

/** Takes the signature of a vehicle from its last recordings, on the calibration that was in the controller while they were made. */
export function signatureOf(input: DiagnosisInput): Signature {
  const measured = MEASURES.map((measure) => ({ measure, kept: keptMeasure(measure, input.observations) }));
  return {
    schema: "fettle.signature/1",
    residuals: residualSignature(input),
    measures: measured.flatMap(({ kept }) => (kept === undefined ? [] : [kept])),
    conditions: conditionsOf(input),
    recordings: input.observations.map((o) => o.recording.file),
    couldNot: measured.flatMap(({ measure, kept }) => (kept === undefined ? [`${measure.title}: not seen in these recordings`] : [])),
  };
}

/** Middle and scatter of a measure; undefined where it was not seen. */
export function keptMeasure(measure: Measure, observations: readonly Observations[]): KeptMeasure | undefined {
  const values = observations.flatMap((o) => measure.spells(o));
  if (values.length === 0) return undefined;
  const centre = mean(values);
  const scatter = values.length < 2 ? 0 : Math.sqrt(values.reduce((sum, v) => sum + (v - centre) ** 2, 0) / (values.length - 1));
  return { id: measure.id, value: median(values), scatter, spells: values.length };
}

/** The signature as text; what is not known of an operating point is written as null. */
export function writeSignature(signature: Signature): string {
  return `${JSON.stringify(signature)}\n`;
}

/** Reads what `writeSignature` wrote. @throws SyntaxError when the text is not a signature */
export function readSignature(text: string): Signature {
  const read: unknown = JSON.parse(text, (_key, value: unknown) => (value === null ? Number.NaN : value));
  if (!isSignature(read)) throw new SyntaxError("not a handover signature of schema fettle.signature/1");
  // Kept before the day was written down: nothing is known of it.
  return { ...read, conditions: read.conditions ?? {} };
}

function isSignature(read: unknown): read is Signature {
  const { schema, residuals, measures } = (read ?? {}) as Partial<Signature>;
  return schema === "fettle.signature/1" && Array.isArray(residuals) && Array.isArray(measures);
}
