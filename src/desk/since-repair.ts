import { type FileInJob, isDriven, type JobState } from "../book/index.ts";

/** What of a job still speaks of the vehicle as it is. */
export interface SinceRepair {
  readonly files: readonly FileInJob[];
  readonly observed: JobState["observed"];
  /** Whether outcomes that came with the intake still hold. */
  readonly intakeHolds: boolean;
  /** What was left out and why, in words. */
  readonly remarks: readonly string[];
}

/**
 * A repair makes another vehicle of it: once something was recorded after the last repair, the recordings, sweeps and test outcomes
 * from before no longer speak, or they would go on accusing the part that is mended. Until then they are all there is.
 */
export function sinceRepair(state: JobState): SinceRepair {
  const repair = state.resumed.findLast((wait) => wait.fault !== undefined);
  const measured = repair !== undefined && state.files.some((file) => isDriven(file) && file.number > repair.ended);
  if (repair === undefined || !measured) return { files: state.files, observed: state.observed, intakeHolds: true, remarks: [] };
  const earlier = state.files.filter((file) => isDriven(file) && file.number < repair.ended);
  const names = earlier.map((file) => file.path).join(", ");
  return {
    files: state.files.filter((file) => !isDriven(file) || file.number > repair.ended),
    observed: state.observed.filter((seen) => seen.number > repair.ended),
    intakeHolds: state.intakeNumber > repair.ended,
    remarks: earlier.length === 0 ? [] : [`made before the repair of ${repair.fault} (${repair.what}) and no longer taken into account: ${names}`],
  };
}
