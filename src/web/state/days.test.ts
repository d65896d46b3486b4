import { expect, test } from "vitest";
import { plainDay, since } from "./days.ts";

const NOW = new Date(2026, 2, 14, 15, 0);
const before = (days: number): string => new Date(2026, 2, 14 - days, 9, 5).toISOString();

test.each([
  [0, "today 09:05"],
  [1, "yesterday"],
  [6, "6 days ago"],
  [21, "3 weeks ago"],
])("%i days before is said as %s", (days, words) => {
  expect(since(before(days), NOW)).toBe(words);
});

test("what is no date is shown as it was written", () => {
  expect(plainDay("next week")).toBe("next week");
  expect(plainDay("2026-03-14")).toBe("Sat, 14 Mar".replace(",", ""));
});
