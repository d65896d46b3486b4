import { expect, test } from "vitest";
import { type CellFacts, cellStates, cellWords, solidityOf } from "./cell-states.ts";

const region = (r0: number, c0: number, r1: number, c1: number) =>
  [
    [r0, c0],
    [r1, c1],
  ] as const;

test("later decisions go over earlier ones, cell by cell", () => {
  const states = cellStates(6, 3, [
    { decision: "accept" },
    { decision: "hold", region: region(0, 0, 1, 0) },
    { decision: "edit", cells: [{ row: 1, column: 0, value: 5 }] },
  ]);
  expect(states).toEqual(["held", "accepted", "accepted", "hand", "accepted", "accepted"]);
});

test("confidence steps are those of the report: by deviation, and never sure of what was not seen", () => {
  expect([solidityOf(80, 0.4, 30), solidityOf(80, 1.6, 30), solidityOf(80, 4, 30), solidityOf(80, 0.1, 0)]).toEqual([3, 2, 1, 0]);
});

const cell: CellFacts = {
  place: "2000 rpm, 45 kPa",
  unit: "%",
  base: 80,
  now: 80,
  asked: 82,
  deviation: 0.61,
  samples: 40.4,
  state: "open",
  heldFor: undefined,
  decimals: 1,
};

test.each([
  [{}, "2000 rpm, 45 kPa: 80.0 %, 82.0 % asked for (+2.5 %), ±1.0 in nine cases of ten. Seen in 40 independent samples. Not decided."],
  [{ state: "accepted", now: 82 }, "Accepted: 82.0 % goes into the next revision."],
  [{ samples: 0 }, "The engine was never here: it follows its neighbours, the more doubtful the less. Not decided."],
  [{ samples: 0, asked: 80 }, "Held back: the engine was never here."],
  [{ asked: 80 }, "It is right within what the table's own steps can say."],
  [{ heldFor: "air leaks in behind the meter" }, "Held back until the repair: air leaks in behind the meter."],
  [{ asked: undefined }, "2000 rpm, 45 kPa: 80.0 %, ±1.0 in nine cases of ten. The recordings ask for nothing here."],
] as const)("a cell in words: %j", (over, words) => expect(cellWords({ ...cell, ...over } as CellFacts).endsWith(words)).toBe(true));
