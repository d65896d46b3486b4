import { expect, test } from "vitest";
import { replayText } from "./verified-text.ts";

test("the replayed drive is told part by part: by airflow, then over all", () => {
  const bins = [
    { airflowGps: 4.1234, before: Math.log(1.1), after: Math.log(1.004), afterLow: Math.log(0.98), afterHigh: Math.log(1.03) },
    { airflowGps: 51.26, before: Math.log(0.9), after: 0, afterLow: Math.log(0.97), afterHigh: Math.log(1.021) },
  ];
  expect(replayText([{ id: "fuel", rmsBefore: 0.0952, rmsAfter: 0.0113, samples: 4120, bins }])).toEqual([
    [
      "Real mixture against the one assumed",
      "  airflow                before   predicted  nine of ten",
      "  4.12 g/s               10.0 %   0.4 %      -2.0 % to 3.0 %",
      "  51.3 g/s               -10.0 %  0.0 %      -3.0 % to 2.1 %",
      "  all, root mean square  9.5 %    1.1 %      4120 samples",
      "",
    ].join("\n"),
  ]);
  expect(replayText([])).toEqual([]);
});
