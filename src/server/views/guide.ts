import type { GuideView } from "../../api/index.ts";
import { driveGuide } from "../../core/corrections/index.ts";
import type { JobOutcome } from "../../core/job/index.ts";
import type { Intake } from "../../core/result/index.ts";
import { addDwell } from "../dwell.ts";
import { numbers } from "./analysis.ts";

/** Where to drive next and where the drives so far have been; undefined where no VE table was proposed for. */
export function guideView(intake: Intake, outcome: JobOutcome): GuideView | undefined {
  const guide = driveGuide({ proposals: outcome.proposals, observations: outcome.observations, intake });
  const table = outcome.proposals.find(({ role }) => role === "air.ve")?.before;
  if (guide === undefined || table?.x === undefined || table.y === undefined) return undefined;
  const axes = { rpm: Array.from(table.x.values), kpa: Array.from(table.y.values) };
  const dwellS = new Float64Array(axes.rpm.length * axes.kpa.length);
  for (const seen of outcome.observations) {
    const places = Array.from(seen.timeS, (timeS, i) => ({ timeS, rpm: seen.rpm[i]!, kpa: seen.mapKpa[i]! }));
    addDwell(dwellS, axes, places);
  }
  // One comes up in steps: idle and light cruise before part load, full load last, whatever each would tell.
  const visits = [...guide.visits].sort((a, b) => a.fromKpa - b.fromKpa || a.fromRpm - b.fromRpm);
  return { ...guide, visits, ...axes, dwellS: numbers(dwellS) };
}
