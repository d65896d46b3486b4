import type { AnalysisView, RecordingView } from "../../api/index.ts";

/** Shares of a recording below this are not worth a word. */
const WORTH_NAMING = 0.08;
const MOST_NAMED = 3;

/** What a recording is, in a sentence or two: how long, what was driven, and what it speaks for. */
export function recordingWords(recording: RecordingView, analysis: Pick<AnalysisView, "result" | "faults">): string {
  const { durationS, rows, moments } = recording;
  const rateHz = durationS > 0 ? rows / durationS : Number.NaN;
  const rate = Number.isFinite(rateHz) ? ` at about ${rateHz >= 10 ? Math.round(rateHz) : Number(rateHz.toPrecision(2))} rows a second` : "";
  const secondsOf = new Map<string, number>();
  for (const { kind, fromS, toS } of moments) secondsOf.set(kind, (secondsOf.get(kind) ?? 0) + toS - fromS);
  const named = [...secondsOf]
    .filter(([, seconds]) => seconds > WORTH_NAMING * durationS)
    .sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))
    .slice(0, MOST_NAMED)
    .map(([kind, seconds]) => `${kind.replaceAll("-", " ")} ${lengthText(seconds)}`);
  const driven = named.length === 0 ? "" : `: ${named.join(", ")}`;
  const leading = analysis.result.suspects.find((suspect) => suspect.for.some((one) => one.recording === recording.file));
  const speaks =
    leading === undefined
      ? ""
      : leading.fault === "healthy"
        ? " It speaks for no fault."
        : ` It speaks for “${analysis.faults[leading.fault]?.title ?? leading.fault}”.`;
  return `${lengthText(durationS)}${rate}${driven}.${speaks}`;
}

function lengthText(seconds: number): string {
  return seconds < 100 ? `${Math.round(seconds)} s` : `${(seconds / 60).toFixed(1)} min`;
}
