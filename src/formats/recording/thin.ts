import { quantile } from "../../base/index.ts";

const MOST = 4000;

/** Quantile of a long column from an evenly thinned part of its samples: good enough to tell kPa from psi, and quick. */
export function roughQuantile(values: Float64Array, fraction: number): number {
  let filled = 0;
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i]!)) filled++;
  const stride = Math.max(1, Math.floor(filled / MOST));
  const part = new Float64Array(Math.ceil(filled / stride));
  let seen = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    if (seen % stride === 0) part[seen / stride] = value;
    seen++;
  }
  return quantile(part, fraction);
}
