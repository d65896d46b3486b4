import { expect, test } from "vitest";
import type { VisitView } from "../../api/index.ts";
import { whatToDo } from "./what-to-do.ts";

const visit: VisitView = { fromRpm: 2000, toRpm: 2400, fromKpa: 50, toKpa: 60, load: "half load", seconds: 20, gainShare: 0.2, words: "" };
const guide = { kpa: [30, 40, 50, 60, 70, 100] };

test.each([
  [{ rpm: 2200, kpa: 55 }, "Hold it there."],
  [{ rpm: 2200, kpa: 46 }, "Hold it there."],
  [{ rpm: 1640, kpa: 55 }, "350 rpm more."],
  [{ rpm: 2410, kpa: 80 }, "50 rpm less, less load."],
  [{ rpm: 2200, kpa: 30 }, "More load."],
  [{ rpm: null, kpa: 30 }, "Waiting for the recording."],
])("at %j: %s", (heard, words) => expect(whatToDo(visit, heard, guide)).toBe(words));
