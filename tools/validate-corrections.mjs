// What the corrections are worth on virtual vehicles that they have not seen: plan of the population, figures, page.
// Pure: packets and scores are handed in; `validate.mjs` makes them, `score-corrections.mjs` scores them.
import { measuredPage, table } from "./markdown.mjs";

/**
 * @typedef {"smooth" | "wavy" | "old-cam" | "sound" | "injector-flow" | "injector-dead-time"} Kind
 * @typedef {{ seed: number, kind: Kind, again: boolean }} Planned
 * @typedef {{ covered: number, worst: number, unvisited: number, within90?: number, cells?: number, smoothness?: number, steps?: number }} Score  percent, share, ratio, share
 * @typedef {{ asReceived: Score, naive?: Score, fettle: Score, shown: Score, held?: string, proposed: boolean }} Scores
 * @typedef {{ seed: number, kind: Kind, tube?: boolean, meter: boolean, wideband: boolean, leading: string, roles: Record<string, Scores>,
 *   again?: Record<string, { asReceived: Score, fettle: Score }>, milliseconds: number }} Scored
 */

/** @type {readonly Kind[]} */
const TURN = [
  "smooth",
  "old-cam",
  "wavy",
  "injector-flow",
  "smooth",
  "old-cam",
  "sound",
  "wavy",
  "injector-dead-time",
  "old-cam",
];

/** Of ten vehicles two have broadly wrong tables, two wavy ones, three the old camshaft's, one sound ones, two other injectors.
 * @param {number} first @param {number} count
 * @returns {Planned[]}
 */
export function plannedCorrections(first, count) {
  return Array.from({ length: count }, (_, i) => ({
    seed: first + i,
    kind: /** @type {Kind} */ (TURN[i % TURN.length]),
    again: i % 20 < 3,
  }));
}

/** Waves of a hand's broad errors against those of an engine's own small features: some 1,800 to 9,000 rpm long. */
const BROAD = 2.5;

/** Two of three wrong meter curves were rewritten by the last hand; the third is the maker's, and the meter sits in another tube.
 * @param {Pick<Planned, "kind" | "seed">} plan
 */
export function isWrongTube({ kind, seed }) {
  return seed % 3 === 0 && WRONG.includes(kind);
}

/** Packet options of a kind. @param {Planned} plan */
export function optionsOf({ kind, seed }) {
  const meterBy = isWrongTube({ kind, seed }) ? "tube" : "curve";
  if (kind === "smooth" || kind === "wavy") {
    const veBreadth = kind === "smooth" ? BROAD : 1;
    return {
      distortion: { ve: "smooth", veSpread: 0.03 + 0.01 * (seed % 6), veBreadth, meter: true, idle: true },
      meterBy,
    };
  }
  if (kind === "old-cam") return { camChanged: true, distortion: { ve: "old-cam", meter: true, idle: true }, meterBy };
  if (kind === "sound") return {};
  return {
    distortion: { ve: "none", meter: false, idle: false },
    camChanged: false,
    faults: [{ id: `fuel.${kind}-mismatch`, severity: 0.3 + 0.07 * (seed % 10) }],
  };
}

/** @param {readonly number[]} values @param {number} share */
function quantile(values, share) {
  const sorted = values.filter((value) => Number.isFinite(value)).sort((a, b) => a - b);
  if (sorted.length === 0) return Number.NaN;
  const at = share * (sorted.length - 1);
  const low = sorted[Math.floor(at)] ?? Number.NaN;
  return low + (at - Math.floor(at)) * ((sorted[Math.ceil(at)] ?? low) - low);
}

/** @param {readonly number[]} values */
function middle(values) {
  const [median, ninth] = [quantile(values, 0.5), quantile(values, 0.9)];
  return Number.isNaN(median) ? "–" : `${median.toFixed(2)} (${ninth.toFixed(2)})`;
}

/** @param {readonly Scored[]} all @param {readonly Kind[]} kinds @param {string} role */
function scoresOf(all, kinds, role) {
  return all
    .filter(({ kind }) => kinds.includes(kind))
    .flatMap(({ roles }) => (roles[role] === undefined ? [] : [roles[role]]));
}

/** @param {readonly Scores[]} scores @param {(scores: Scores) => Score | undefined} which @param {keyof Score} figure */
function figures(scores, which, figure) {
  return scores.map((each) => which(each)?.[figure] ?? Number.NaN);
}

/** A vehicle is made worse by more than what rounding of its sheet may do [percentage points]. */
const WORSE = 0.2;

/** Share of the cells of all vehicles that lie within the interval stated for them. @param {readonly Scores[]} scores */
function within90(scores) {
  const stated = scores.map(({ shown }) => shown).filter(({ cells = 0 }) => cells > 0);
  const cells = stated.reduce((sum, each) => sum + (each.cells ?? 0), 0);
  return (stated.reduce((sum, each) => sum + (each.within90 ?? 0) * (each.cells ?? 0), 0) / cells).toFixed(2);
}

/** @param {readonly Scores[]} scores @param {(scores: Scores) => Score | undefined} which */
function worse(scores, which) {
  const judged = scores.filter((each) => Number.isFinite(which(each)?.covered ?? Number.NaN));
  const count = judged.filter((each) => (which(each)?.covered ?? 0) > (each.asReceived.covered ?? 0) + WORSE).length;
  return judged.length === 0 ? "–" : `${count} of ${judged.length}`;
}

/** @type {readonly Kind[]} */
const WRONG = ["smooth", "wavy", "old-cam"];
/** @type {readonly Kind[]} */
const INJECTORS = ["injector-flow", "injector-dead-time"];

/** The figures that must hold, each with its target. @param {readonly Scored[]} all */
export function keyFiguresOfCorrections(all) {
  const ve = scoresOf(all, WRONG, "air.ve");
  const byHand = scoresOf(
    all.filter(({ tube }) => tube !== true),
    WRONG,
    "air.meter-curve",
  );
  const meter = scoresOf(all, WRONG, "air.meter-curve");
  const idle = scoresOf(all, WRONG, "idle.base-airflow");
  const after = (/** @type {Scores} */ each) => each.fettle;
  const again = all.flatMap(({ again: second }) => (second?.["air.ve"] ? [second["air.ve"].fettle.covered] : []));
  const kept = scoresOf(all, INJECTORS, "air.ve");
  const ratio = (/** @type {Kind} */ kind, /** @type {string} */ role) =>
    scoresOf(all, [kind], role).map((each) => each.fettle.covered / each.asReceived.covered);
  return [
    ["VE, covered cells [%]", middle(figures(ve, after, "covered")), "1.3"],
    ["VE, worst covered cell [%]", middle(figures(ve, after, "worst")), "4"],
    ["VE, reachable but not visited [%]", middle(figures(ve, after, "unvisited")), "3"],
    ["Airflow meter curve, rewritten by a hand [%]", middle(figures(byHand, after, "covered")), "2.0"],
    ["Airflow meter curve, those of another tube too [%]", middle(figures(meter, after, "covered")), "2.0"],
    ["Idle base airflow [%]", middle(figures(idle, after, "covered")), "3.5"],
    ["VE made worse", worse(scoresOf(all, [...WRONG, "sound", ...INJECTORS], "air.ve"), after), "none"],
    ["Covered VE cells within the stated 90 %", within90(ve), "0.85–0.95"],
    ["Covered meter breakpoints within the stated 90 %", within90(meter), "0.85–0.95"],
    ["Covered idle breakpoints within the stated 90 %", within90(idle), "0.85–0.95"],
    ["Second differences over the truth's", middle(figures(ve, (each) => each.shown, "smoothness")), "0.8–1.2"],
    [
      "Steps larger than the truth's largest [%]",
      middle(figures(ve, (each) => each.shown, "steps").map((v) => 100 * v)),
      "1",
    ],
    ["VE after a second drive [%]", middle(again), "1.0"],
    ["Other injectors: sound VE after [%]", middle(figures(kept, after, "covered")), "2.5"],
    ["Flow error left, share of what came in", middle(ratio("injector-flow", "fuel.injector-flow")), "0.5"],
    [
      "Dead-time error left, share of what came in",
      middle(ratio("injector-dead-time", "fuel.injector-dead-time")),
      "0.6",
    ],
  ];
}

/** @param {readonly Scored[]} all @param {readonly Kind[]} kinds @param {string} role @param {keyof Score} figure @param {string} name */
function comparison(all, kinds, role, figure, name) {
  const scores = scoresOf(all, kinds, role);
  return [
    name,
    scores.length,
    middle(figures(scores, (each) => each.asReceived, figure)),
    middle(figures(scores, (each) => each.naive, figure)),
    middle(figures(scores, (each) => each.fettle, figure)),
    middle(figures(scores, (each) => each.shown, figure)),
    ...(figure === "covered" ? [worse(scores, (each) => each.naive), worse(scores, (each) => each.fettle)] : ["", ""]),
  ];
}

/** The page `docs/validation/corrections.md`. @param {readonly Scored[]} all @param {{ first: number }} about */
export function correctionsPage(all, { first }) {
  const names = /** @type {[Kind, string][]} */ ([
    ["smooth", "broadly wrong tables"],
    ["wavy", "tables wrong in waves"],
    ["old-cam", "another camshaft, tables of the old one"],
    ["sound", "tables as they should be"],
    ["injector-flow", "injectors of another flow"],
    ["injector-dead-time", "injectors of another dead time"],
  ]);
  const heads = [
    "",
    "vehicles",
    "as received",
    "nearest-cell averages",
    "Fettle",
    "held sheets too",
    "worse by averages",
    "worse by Fettle",
  ];
  const slowest = quantile(
    all.map(({ milliseconds }) => milliseconds),
    0.5,
  );
  return measuredPage(
    "# What the corrections are worth",
    `${all.length} virtual vehicles, seeds ${first} to ${first + all.length - 1}, each corrected from one road drive and one idle recording. Of ten vehicles two have broadly wrong tables, two tables wrong in waves as short as an engine's own features, ` +
      "three another camshaft with the old one's tables, one sound tables, two other injectors. Of three wrong meter curves two were rewritten by the last hand; in the third the curve is its maker's and the meter sits in another tube, which no recording tells from a meter that reads wrong: there the diagnosis holds the curve back until the meter is seen to. Vehicle, sensors, weather and drive are drawn as well. Diagnosis and corrections run as in the job, so a table that a suspected " +
      "fault would poison is held and counts as received. The virtual vehicle is our own: real ones differ in ways nobody listed, so read these figures as an upper bound. Made by `npm run validate`.",
    "Errors are root mean squares of the logarithm against the truth, in percent: VE and meter weighted by dwell in cells visited for two seconds or more, injector tables over all cells. Figures are medians over vehicles, the ninth decile in brackets; shares within the stated 90 % are over the cells of all vehicles, because what all cells of a vehicle share is right or wrong at once.",
    "A held sheet counts as received under *Fettle*; *held sheets too* says what it would have been.",
    "## Key figures",
    "VE, meter and idle over vehicles whose tables came in wrong.",
    table(["", "measured", "wanted"], keyFiguresOfCorrections(all)),
    "## Against nearest-cell averages",
    "The baseline is today's practice done with care: warm steady samples, each residual averaged into the nearest cell, cells with less than two seconds left alone.",
    table(heads, [
      comparison(all, WRONG, "air.ve", "covered", "VE, covered"),
      comparison(all, WRONG, "air.ve", "worst", "VE, worst covered cell"),
      comparison(all, WRONG, "air.ve", "unvisited", "VE, reachable but not visited"),
      comparison(all, WRONG, "air.ve", "smoothness", "VE, second differences over the truth's"),
      comparison(all, WRONG, "air.meter-curve", "covered", "meter curve"),
      comparison(
        all.filter(({ tube }) => tube === true),
        WRONG,
        "air.meter-curve",
        "covered",
        "meter curve, another tube only",
      ),
      comparison(all, WRONG, "idle.base-airflow", "covered", "idle base airflow"),
    ]),
    "## By what was wrong",
    table(
      heads,
      names.flatMap(([kind, name]) => [
        comparison(all, [kind], "air.ve", "covered", `${name}: VE`),
        comparison(all, [kind], "air.ve", "worst", `${name}: VE, worst covered cell`),
        comparison(all, [kind], "air.ve", "unvisited", `${name}: VE, not visited`),
        comparison(all, [kind], "air.meter-curve", "covered", `${name}: meter`),
      ]),
    ),
    "## Injectors",
    table(heads, [
      comparison(all, ["injector-flow"], "fuel.injector-flow", "covered", "other flow: flow table"),
      comparison(all, ["injector-flow"], "fuel.injector-dead-time", "covered", "other flow: dead-time table"),
      comparison(all, ["injector-dead-time"], "fuel.injector-flow", "covered", "other dead time: flow table"),
      comparison(all, ["injector-dead-time"], "fuel.injector-dead-time", "covered", "other dead time: dead-time table"),
    ]),
    "## Second round",
    "The same vehicle driven again on the accepted tables, and corrected once more.",
    table(
      ["", "vehicles", "on the accepted tables", "corrected once more"],
      ["air.ve", "air.meter-curve", "idle.base-airflow"].map((role) => {
        const rounds = all.flatMap(({ again }) => (again?.[role] === undefined ? [] : [again[role]]));
        return [
          `\`${role}\``,
          rounds.length,
          middle(rounds.map(({ asReceived }) => asReceived.covered)),
          middle(rounds.map(({ fettle }) => fettle.covered)),
        ];
      }),
    ),
    "## Held back",
    table(
      ["what was wrong", "table", "proposed", "held", "because of"],
      names.flatMap(([kind, name]) =>
        ["air.ve", "air.meter-curve", "idle.base-airflow"].map((role) => {
          const scores = scoresOf(all, [kind], role).filter(({ proposed }) => proposed);
          const held = scores.flatMap((each) => (each.held === undefined ? [] : [each.held]));
          const faults = [...new Set(held)]
            .sort()
            .map((fault) => `\`${fault}\` ${held.filter((one) => one === fault).length}`);
          return [name, `\`${role}\``, scores.length - held.length, held.length, faults.join(", ")];
        }),
      ),
    ),
    `Diagnosis and corrections of one vehicle took ${(slowest / 1000).toFixed(1)} s at the median.`,
  );
}
