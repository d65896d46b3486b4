export { clamp, f64, lastAtMost, mean, median, quantile, requireSameLength } from "./arrays.ts";
export { formatProblem, type Place, type Problem, UnusableInput } from "./problem.ts";
export { type Random, seededRandom } from "./random.ts";
