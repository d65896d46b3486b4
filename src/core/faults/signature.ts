import { CHANNEL_UNITS } from "./deviation.ts";
import { type RegionMean, regionMeans, titleOf } from "./evidence.ts";
import { type DiagnosisInput, type EarlierPoint, factsOf } from "./facts.ts";
import { beyondExpected, compareStories } from "./inference.ts";
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

/** A residual over a region of operation: by how much it moved since the earlier visit, and how far it moves in a sound vehicle. */
export interface MovedResidual {
  readonly id: string;
  readonly title: string;
  /** Logarithms are given as percent. */
  readonly unit: string;
  readonly value: number;
  readonly sd: number;
  readonly span: RegionMean["span"];
}

/** What moved since the earlier visit in `input.earlier`. */
export function movedResiduals(input: DiagnosisInput): readonly MovedResidual[] {
  const facts = factsOf(input);
  const points = residualPoints(facts);
  const comparison = compareStories(points, [], facts);
  return regionMeans(points, comparison, facts).map((mean) => {
    const isLn = CHANNEL_UNITS[mean.channel] === "ln";
    const factor = isLn ? 100 : 1;
    return {
      id: [mean.channel, mean.region, mean.air].filter((part) => part !== "").join("."),
      title: titleOf(mean),
      unit: isLn ? "%" : CHANNEL_UNITS[mean.channel],
      value: factor * mean.value,
      sd: factor * mean.sd,
      span: mean.span,
    };
  });
}
