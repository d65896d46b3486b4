import { type DiagnosisInput, type EarlierPoint, factsOf } from "./facts.ts";
import { beyondExpected } from "./inference.ts";
import { residualPoints } from "./points.ts";

/**
 * The residuals of a vehicle as it leaves, by region of operation: what it is held against when it comes back. Weather and fuel of the day as the
 * intake sheet states them are taken out.
 */
export function residualSignature(input: DiagnosisInput): readonly EarlierPoint[] {
  const facts = factsOf(input);
  const points = residualPoints(facts);
  const values = beyondExpected(points, facts);
  return points.map(({ channel, at, sd }, i) => ({ channel, at, sd, value: values[i]! }));
}
