/** A mean error as verify and promise print it: a share in percent, idle air in g/s, a dash where it is not known. */
export function meanText(mean: number, unit: "share" | "g/s"): string {
  if (!Number.isFinite(mean)) return "-";
  return unit === "share" ? `${(100 * mean).toFixed(1)} %` : `${mean.toFixed(2)} g/s`;
}
