import type { JobState } from "../book/index.ts";
import { type Remeasure, remeasureAfter } from "../core/job/index.ts";

/** Something to measure again after a repair, and whether that was done since. */
export interface MeasureAgain extends Remeasure {
  readonly fault: string;
  /** Wait that the repair ended. */
  readonly since: string;
  readonly isDone: boolean;
}

/**
 * What must be measured again after the repairs of a job: the list follows from the fault that a part was to mend. A workshop test is
 * done when its outcome was entered since; recordings and sweeps when as many came in since as the list has of them, in its order.
 */
export function measureAgain(state: JobState): readonly MeasureAgain[] {
  return state.resumed.flatMap((wait) => {
    if (wait.fault === undefined) return [];
    const fault = wait.fault;
    let recordings = came(state, "recordings/", wait.ended);
    let sweeps = came(state, "pulls/", wait.ended);
    return remeasureAfter(fault).map((item): MeasureAgain => {
      const isDone =
        item.by === "test"
          ? state.observed.some((seen) => seen.test === item.test && seen.number > wait.ended)
          : item.by === "recording"
            ? recordings-- > 0
            : sweeps-- > 0;
      return { ...item, fault, since: wait.endedAt, isDone };
    });
  });
}

function came(state: JobState, folder: string, after: number): number {
  return state.files.filter((file) => file.path.startsWith(folder) && file.number > after).length;
}
