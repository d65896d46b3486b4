import { expect, test } from "vitest";
import type { HeardView, VisitView } from "../../api/index.ts";
import { sayNow, whatToDo } from "./what-to-do.ts";

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

const heard: HeardView = { file: "drive.csv", rows: 90, rpm: 2200, kpa: 55, stillS: 0, dwellS: [], visitS: [0] };

test.each([
  [{}, false, "Hold it there."],
  [{ stillS: 6 }, false, "Hold it there."],
  [{ stillS: 9 }, false, "Nothing new for 9 s. Does the logger still write?"],
  [{ says: "Waiting for the first rows.", stillS: 30 }, false, "Waiting for the first rows."],
  [{}, true, "The bench does not answer."],
])("what is known comes before what to do: %j", (over, isLost, words) => expect(sayNow(visit, { ...heard, ...over }, guide, isLost)).toBe(words));
