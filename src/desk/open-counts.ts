import type { Book, JobState } from "../book/index.ts";
import { answerTo } from "../core/result/index.ts";
import { measureAgain } from "./after-repair.ts";
import { keptAnalysisOf } from "./analysis.ts";
import type { OpenCounts } from "./next-action.ts";

/**
 * What still wants an answer or a decision at each station of a job: findings above a note that nobody answered, repairs that come
 * first, proposals not decided on, measurements to be made again. Told from an analysis at hand, never by making one.
 */
export function openCounts(book: Book, state: JobState): OpenCounts {
  const analysis = keptAnalysisOf(book, state.slug);
  const again = measureAgain(state).filter((item) => !item.isDone);
  const toMeasure = (by: string): number => again.filter((item) => item.by === by).length;
  const measured = { recordings: toMeasure("recording"), pulls: toMeasure("sweep") };
  if (analysis === undefined) return { ...measured, diagnosis: toMeasure("test") };
  const open = analysis.result.findings.filter((finding) => finding.severity !== "note" && answerTo(state.answers, finding) === undefined);
  const atPulls = open.filter((finding) => finding.check.startsWith("pull.")).length;
  const awaited = new Set(state.waits.map((wait) => wait.fault));
  const repairs = state.marked.diagnosis === "done" ? [] : analysis.repairFirst.filter(({ fault }) => !awaited.has(fault));
  const decided = new Set(state.decisions.map((decision) => decision.role));
  const proposed = analysis.proposals.filter(({ role, heldBecause }) => heldBecause === undefined && !decided.has(role));
  return {
    inspection: open.length - atPulls,
    recordings: measured.recordings,
    diagnosis: toMeasure("test") + repairs.length,
    "change-sheet": state.marked["change-sheet"] === "done" ? 0 : proposed.length,
    pulls: measured.pulls + atPulls,
  };
}
