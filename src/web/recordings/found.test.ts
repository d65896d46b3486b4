import { expect, test } from "vitest";
import { spansOf } from "./found.ts";

test("instants within a box become spans; a short absence does not cut one, a long one does", () => {
  const timeS = Float32Array.from({ length: 100 }, (_, i) => i / 10);
  const rpm = timeS.map((t) => (t < 2 || (t >= 5 && t < 6) ? 1500 : 900));
  rpm[10] = 900;
  const kpa = timeS.map(() => 50);
  const spans = spansOf({ timeS, rpm, kpa }, { rpm: [1400, 1600], kpa: [40, 60] });
  expect(spans.map(({ fromS, toS }) => [fromS.toFixed(1), toS.toFixed(1)])).toEqual([
    ["0.0", "1.9"],
    ["5.0", "5.9"],
  ]);
  expect(spansOf({ timeS, rpm, kpa }, { rpm: [3000, 4000], kpa: [40, 60] })).toEqual([]);
});
