import { defineMeasure } from "./define.ts";
import { trimOfTheTank } from "./fuel-of-the-day.ts";
import { overMoments } from "./spells.ts";

export default defineMeasure({
  id: "trim-idle",
  title: "Fuel trims at warm idle",
  unit: "%",
  usualSd: () => 2,
  byTheDay: trimOfTheTank,
  spells: (o) => overMoments(o, "warm-idle", (i) => (o.closedLoop[i]! >= 0.5 ? 100 * Math.expm1(o.trimLn[i]!) : Number.NaN)),
});
