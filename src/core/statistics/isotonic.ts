import { requireSameLength } from "../../base/index.ts";

/**
 * The non-decreasing sequence nearest to the given one in weighted least squares (pool adjacent violators).
 *
 * @param weights  shape (n), > 0; absent: all alike
 * @source barlow-1972 (from memory)
 */
export function isotonicFit(values: ArrayLike<number>, weights?: ArrayLike<number>): Float64Array {
  if (weights !== undefined) requireSameLength({ values, weights });
  const level: number[] = [];
  const weight: number[] = [];
  const count: number[] = [];
  for (let i = 0; i < values.length; i++) {
    level.push(values[i]!);
    weight.push(weights?.[i] ?? 1);
    count.push(1);
    while (level.length > 1 && level[level.length - 2]! > level[level.length - 1]!) {
      const [v, w, c] = [level.pop()!, weight.pop()!, count.pop()!];
      const last = level.length - 1;
      const sum = weight[last]! + w;
      level[last] = (level[last]! * weight[last]! + v * w) / sum;
      weight[last] = sum;
      count[last] = count[last]! + c;
    }
  }
  const fitted = new Float64Array(values.length);
  let at = 0;
  for (let b = 0; b < level.length; b++) {
    fitted.fill(level[b]!, at, at + count[b]!);
    at += count[b]!;
  }
  return fitted;
}
