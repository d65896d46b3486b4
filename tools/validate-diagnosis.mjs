// What the diagnosis is worth on virtual vehicles that it has not seen: plan of the population, figures, page.
// Pure: packets and judgements are handed in; `validate.mjs` makes them.
import { table } from "./markdown.mjs";

/**
 * @typedef {{ seed: number, faults: readonly { id: string }[] }} Planned
 * @typedef {{ seed: number, truth: readonly { id: string, severity: number }[], suspects: readonly { fault: string, probability: number }[],
 *   family: string, camChanged: boolean, boosted: boolean, highAltitude: boolean, wideband: boolean, meter: boolean }} Judged
 */

/** Of twenty vehicles five are healthy, thirteen have one fault, two have two; which fault and how grave is drawn. Severity evenly from 0.2 to 1.
 * @param {number} first @param {number} count
 * @returns {Planned[]}
 */
export function planned(first, count) {
  return Array.from({ length: count }, (_, i) => {
    const turn = i % 20;
    return {
      seed: first + i,
      faults: Array.from({ length: turn < 5 ? 0 : turn < 18 ? 1 : 2 }, () => ({ id: "draw" })),
    };
  });
}

/** @param {number} part @param {number} whole */
function share(part, whole) {
  return whole === 0 ? "–" : `${((100 * part) / whole).toFixed(1)} % (${part} of ${whole})`;
}

/** Whether all that is true stands among the first so many suspects. @param {Judged} judged @param {number} first */
function among(judged, first) {
  const leading = judged.suspects.slice(0, first).map(({ fault }) => fault);
  return judged.truth.every(({ id }) => leading.includes(id));
}

/** @param {Judged} judged */
function healthyProbability(judged) {
  return judged.suspects.find(({ fault }) => fault === "healthy")?.probability ?? 0;
}

/** First line of the page: it is made by another command than the reference pages. */
const MADE = "<!-- Made by `npm run validate`. Do not edit. -->";

/** The figures that must hold, each with its target. @param {readonly Judged[]} all */
export function keyFigures(all) {
  const single = all.filter(({ truth }) => truth.length === 1);
  const grave = single.filter(({ truth }) => (truth[0]?.severity ?? 0) >= 0.4);
  const healthy = all.filter(({ truth }) => truth.length === 0);
  const two = all.filter(({ truth }) => truth.length === 2);
  const count = (/** @type {readonly Judged[]} */ of, /** @type {number} */ first) =>
    of.filter((each) => among(each, first)).length;
  const falselyFaulty = healthy.filter(
    (each) => healthyProbability(each) < 0.5 && (each.suspects[0]?.probability ?? 0) > 0.5,
  );
  return [
    ["Right one first, one fault of severity 0.4 and more", share(count(grave, 1), grave.length), "90 %"],
    ["Right one among the first two, severity 0.4 and more", share(count(grave, 2), grave.length), "97 %"],
    ["Right one first, all severities from 0.2", share(count(single, 1), single.length), "80 %"],
    ["Right one among the first two, all severities", share(count(single, 2), single.length), "92 %"],
    ["Healthy called faulty with more than 50 %", share(falselyFaulty.length, healthy.length), "at most 2 %"],
    ["Two faults: both among the first three", share(count(two, 3), two.length), "80 %"],
  ];
}

/** Stated probability against how often it was true, by tenths, over all suspects of vehicles with at most one fault.
 * @param {readonly Judged[]} all
 */
export function reliability(all) {
  const tenths = Array.from({ length: 10 }, () => ({ count: 0, stated: 0, true: 0 }));
  for (const { truth, suspects } of all) {
    if (truth.length > 1) continue;
    const id = truth[0]?.id ?? "healthy";
    for (const { fault, probability } of suspects) {
      const tenth = tenths[Math.min(9, Math.floor(10 * probability))];
      if (tenth === undefined) continue;
      tenth.count++;
      tenth.stated += probability;
      tenth.true += fault === id ? 1 : 0;
    }
  }
  return tenths;
}

/** Points by which a tenth strays by chance when its probabilities are right. @param {{ count: number, stated: number }} tenth */
function chancePoints({ count, stated }) {
  const mean = stated / count;
  return 100 * Math.sqrt((mean * (1 - mean)) / count);
}

/** Rows of truth against leading suspect. @param {readonly Judged[]} all @param {readonly string[]} ids */
export function confusion(all, ids) {
  return ids.map((id) => {
    const mine = all.filter(({ truth }) => truth.length < 2 && (truth[0]?.id ?? "healthy") === id);
    return {
      id,
      count: mine.length,
      leading: ids.map((other) => mine.filter(({ suspects }) => suspects[0]?.fault === other).length),
    };
  });
}

/** The page `docs/validation/diagnosis.md`. @param {readonly Judged[]} all @param {{ first: number, ids: readonly string[] }} about */
export function diagnosisPage(all, { first, ids }) {
  const matrix = confusion(all, ids);
  const groups = /** @type {[string, (judged: Judged) => boolean][]} */ ([
    ["camshaft changed", ({ camChanged }) => camChanged],
    ["boosted", ({ boosted }) => boosted],
    ["high altitude", ({ highAltitude }) => highAltitude],
    ["without wide-range sensor", ({ wideband }) => !wideband],
    ["without airflow meter", ({ meter }) => !meter],
  ]);
  const blocks = [
    MADE,
    "# What the diagnosis is worth",
    `${all.length} virtual vehicles, seeds ${first} to ${first + all.length - 1}, none of them used while the method was made. Of twenty vehicles five are healthy, thirteen have one fault, two have two; ` +
      "severity is drawn evenly from 0.2 (noticed with care) to 1 (gross). Vehicle, calibration, edits, sensors, weather and drive are drawn as well. " +
      "The virtual vehicle is our own: real ones differ in ways nobody listed, so read these figures as an upper bound. Made by `npm run validate`.",
    "## Key figures",
    table(["", "measured", "wanted"], keyFigures(all)),
    "## Do probabilities mean what they say?",
    "Every suspect of every vehicle with at most one fault, by the tenth in which its stated probability lies.",
    table(
      ["stated", "suspects", "mean stated", "true", "difference in points", "chance alone (one standard deviation)"],
      reliability(all).map((tenth, i) => [
        `${10 * i}–${10 * (i + 1)} %`,
        tenth.count,
        tenth.count === 0 ? "–" : `${((100 * tenth.stated) / tenth.count).toFixed(1)} %`,
        tenth.count === 0 ? "–" : `${((100 * tenth.true) / tenth.count).toFixed(1)} %`,
        tenth.count === 0 ? "–" : ((100 * (tenth.true - tenth.stated)) / tenth.count).toFixed(1),
        tenth.count === 0 ? "–" : chancePoints(tenth).toFixed(1),
      ]),
    ),
    "## Which fault was named",
    "Vehicles with at most one fault; only pairs that occurred.",
    table(
      ["true", "vehicles", "named first"],
      matrix.map(({ id, count, leading }) => [
        `\`${id}\``,
        count,
        leading
          .map((n, i) => ({ n, other: ids[i] }))
          .filter(({ n }) => n > 0)
          .sort((a, b) => b.n - a.n)
          .map(({ n, other }) => `${other === id ? "**itself**" : other} ${n}`)
          .join(", "),
      ]),
    ),
    "## By kind of vehicle",
    table(
      ["", "right one first (one fault)", "healthy called faulty"],
      groups.map(([name, test]) => {
        const single = all.filter((each) => each.truth.length === 1 && test(each));
        const healthy = all.filter((each) => each.truth.length === 0 && test(each));
        return [
          name,
          share(single.filter((each) => among(each, 1)).length, single.length),
          share(
            healthy.filter((each) => healthyProbability(each) < 0.5 && (each.suspects[0]?.probability ?? 0) > 0.5)
              .length,
            healthy.length,
          ),
        ];
      }),
    ),
    "## By severity",
    table(
      ["severity", "right one first", "among the first two"],
      [0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9].map((low) => {
        const mine = all.filter(
          ({ truth }) =>
            truth.length === 1 && (truth[0]?.severity ?? 0) >= low && (truth[0]?.severity ?? 0) < low + 0.1,
        );
        return [
          `${low.toFixed(1)}–${(low + 0.1).toFixed(1)}`,
          share(mine.filter((each) => among(each, 1)).length, mine.length),
          share(mine.filter((each) => among(each, 2)).length, mine.length),
        ];
      }),
    ),
  ];
  return `${blocks.join("\n\n")}\n`;
}
