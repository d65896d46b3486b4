import { defineMeasure } from "./define.ts";
import { trimOfTheTank } from "./fuel-of-the-day.ts";
import { overMinutes } from "./spells.ts";

const WARM_C = 70;
const DRIVEN_RPM = 1300;

export default defineMeasure({
  id: "trim-driven",
  title: "Fuel trims when driven",
  unit: "%",
  usualSd: () => 1.5,
  byTheDay: trimOfTheTank,
  spells: (o) =>
    overMinutes(o, (i) =>
      o.closedLoop[i]! >= 0.5 && o.steadiness[i]! > 0.25 && o.rpm[i]! > DRIVEN_RPM && !(o.ectC[i]! < WARM_C) ? 100 * Math.expm1(o.trimLn[i]!) : Number.NaN,
    ),
});
