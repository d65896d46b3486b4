import { clamp, lastAtMost } from "../../base/index.ts";

/** Weights of four neighbouring nodes: value = Σ weight[k] · node[first + k]. Unused ones are zero. */
export interface NodeWeights {
  readonly first: number;
  readonly weights: readonly [number, number, number, number];
}

/** Weights of linear interpolation, ends held. */
export function linearWeights(nodes: ArrayLike<number>, at: number): NodeWeights {
  const last = nodes.length - 1;
  if (last === 0) return { first: 0, weights: [1, 0, 0, 0] };
  const index = clamp(lastAtMost(nodes, at), 0, last - 1);
  const share = clamp((at - nodes[index]!) / (nodes[index + 1]! - nodes[index]!), 0, 1);
  return { first: index, weights: [1 - share, share, 0, 0] };
}

/**
 * Weights of the cubic that passes through two nodes with the slopes of the parabolas through each node and its
 * neighbours; ends held. Exact for parabolas on any spacing, and local, so that a node only acts on the two intervals
 * to either side of it.
 *
 * @source catmull-rom-1974 (from memory); with slopes for uneven spacing
 */
export function cubicWeights(nodes: ArrayLike<number>, at: number): NodeWeights {
  const last = nodes.length - 1;
  if (last < 2) return linearWeights(nodes, at);
  const index = clamp(lastAtMost(nodes, at), 0, last - 1);
  const width = nodes[index + 1]! - nodes[index]!;
  const t = clamp((at - nodes[index]!) / width, 0, 1);
  const first = clamp(index - 1, 0, Math.max(0, last - 3));
  const weights: [number, number, number, number] = [0, 0, 0, 0];
  const add = (node: number, value: number): void => {
    weights[node - first] = weights[node - first]! + value;
  };
  const t2 = t * t;
  const t3 = t2 * t;
  add(index, 1 - 3 * t2 + 2 * t3);
  add(index + 1, 3 * t2 - 2 * t3);
  addSlope(nodes, index, (t - 2 * t2 + t3) * width, add);
  addSlope(nodes, index + 1, (t3 - t2) * width, add);
  return { first, weights };
}

/** Slope at a node of the parabola through it and its two neighbours (at an end: through the three end nodes), times a factor. */
function addSlope(nodes: ArrayLike<number>, node: number, factor: number, add: (node: number, value: number) => void): void {
  const middle = clamp(node, 1, nodes.length - 2);
  const [a, b, c] = [nodes[middle - 1]!, nodes[middle]!, nodes[middle + 1]!];
  const x = nodes[node]!;
  add(middle - 1, (factor * (2 * x - b - c)) / ((a - b) * (a - c)));
  add(middle, (factor * (2 * x - a - c)) / ((b - a) * (b - c)));
  add(middle + 1, (factor * (2 * x - a - b)) / ((c - a) * (c - b)));
}
