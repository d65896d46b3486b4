import { type JobState, type StationId, stationStates, type WaitKind } from "../book/index.ts";
import { measureAgain } from "./after-repair.ts";

export interface NextAction {
  readonly station: StationId;
  readonly text: string;
}

/** Where a job goes on once the wait is over. */
const AFTER_WAIT: Readonly<Record<WaitKind, StationId>> = {
  part: "diagnosis",
  customer: "diagnosis",
  drive: "recordings",
  dynamometer: "pulls",
  other: "diagnosis",
};

/** What is open at a station, where an analysis at hand tells. */
export type OpenCounts = Readonly<Partial<Record<StationId, number>>>;

/** The first thing that keeps the job from going on. */
export function nextAction(state: JobState, open: OpenCounts = {}): NextAction {
  const has = (prefix: string): boolean => state.files.some((file) => file.path.startsWith(prefix));
  const wait = state.waits[0];
  const again = measureAgain(state).find((item) => !item.isDone);
  if (wait !== undefined) return { station: AFTER_WAIT[wait.kind], text: `Waits for ${wait.what}` };
  if (state.intake === undefined && !has("intake.json")) return { station: "intake", text: "Enter the engine's facts" };
  if (!has("calibration/as-received/")) return { station: "reading", text: "Bring in the calibration as received" };
  if (!has("recordings/")) return { station: "recordings", text: "Bring in a recorded drive" };
  const done = stationStates(state);
  if (done.inspection !== "done") return { station: "inspection", text: inspectionText(state, open.inspection) };
  if (again !== undefined && done.diagnosis !== "done")
    return { station: again.by === "test" ? "diagnosis" : again.by === "sweep" ? "pulls" : "recordings", text: `Measure again: ${again.what}` };
  if (done.diagnosis !== "done") return { station: "diagnosis", text: "Decide which story explains the recordings" };
  const newest = state.revisions.at(-1);
  if (newest === undefined) return { station: "change-sheet", text: "Decide on the corrections and make a revision" };
  if (!state.files.some((file) => file.path.startsWith("recordings/") && (file.revision ?? 0) >= newest.number))
    return { station: "recordings", text: `Drive revision ${newest.number} and bring the recording` };
  if (done.handover !== "done") return { station: "handover", text: "Write the handover" };
  return { station: "handover", text: "Nothing left to do" };
}

function inspectionText(state: JobState, open: number | undefined): string {
  if (open === undefined || Object.keys(state.answers).length === 0) return "Go through what was changed and what contradicts itself";
  return open === 0 ? "All findings are answered: close the inspection" : `Answer the ${open === 1 ? "finding" : `${open} findings`} still open`;
}
