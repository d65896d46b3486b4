import { quantile } from "../../../base/index.ts";
import type { Observations } from "../../residuals/index.ts";
import { weatherSince } from "../conditions.ts";
import { defineMeasure } from "./define.ts";

/** The knock limit wanders with the charge's temperature and pressure. Sizes from memory, no published source. */
const DEG_PER_K = 0.08;
const DEG_PER_KPA = 0.15;

export default defineMeasure({
  id: "knock-retard",
  title: "Knock retard under load, highest tenth",
  unit: "deg",
  usualSd: () => 0.8,
  byTheDay: (days) => {
    const { warmerK, higherKpa } = weatherSince(days);
    return { by: 0, sd: Math.hypot(DEG_PER_K * warmerK, DEG_PER_KPA * higherKpa) };
  },
  spells: (o) => {
    const retard = loadedRetard(o);
    return retard.length * o.dtS < 3 ? [] : [quantile(retard, 0.9)];
  },
});

function loadedRetard(o: Observations): readonly number[] {
  const retard: number[] = [];
  for (let i = 0; i < o.n; i++)
    if (o.rpm[i]! > 900 && o.mapKpa[i]! > 0.6 * o.baroKpa[i]! && !Number.isNaN(o.knockRetardDeg[i]!)) retard.push(o.knockRetardDeg[i]!);
  return retard;
}
