import type { ReplayPart } from "../core/job/index.ts";
import { block, columns, counted } from "./text.ts";

/** A mean error as verify and promise print it: a share in percent, idle air in g/s, a dash where it is not known. */
export function meanText(mean: number, unit: "share" | "g/s"): string {
  if (!Number.isFinite(mean)) return "-";
  return unit === "share" ? `${(100 * mean).toFixed(1)} %` : `${mean.toFixed(2)} g/s`;
}

const PARTS: Readonly<Record<ReplayPart["id"], string>> = {
  fuel: "Real mixture against the one assumed",
  air: "Metered air against speed-density air",
};

/** The drive replayed, part by part: the root mean square of the error over steady samples, and its mean by airflow. */
export function replayText(parts: readonly ReplayPart[]): readonly string[] {
  return parts.map((part) => {
    const rows = part.bins.map((bin) => [
      `  ${Number(bin.airflowGps.toPrecision(3))} g/s`,
      errorText(bin.before),
      errorText(bin.after),
      `${errorText(bin.afterLow)} to ${errorText(bin.afterHigh)}`,
    ]);
    const whole = [`  all, root mean square`, meanText(part.rmsBefore, "share"), meanText(part.rmsAfter, "share"), counted(part.samples, "sample")];
    return block(PARTS[part.id], columns([["  airflow", "before", "predicted", "nine of ten"], ...rows, whole]));
  });
}

/** A residual, which is a logarithm, as the percentage it stands for. */
function errorText(residual: number): string {
  return meanText(Math.expm1(residual), "share");
}
