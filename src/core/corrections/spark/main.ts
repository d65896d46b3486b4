import { columnsOf, type Table } from "../../tables/index.ts";
import { type CorrectionInput, defineCorrection, probabilityOf } from "../define.ts";
import { type KnockEvent, type KnockMap, knockMap } from "./knock-map.ts";

/** Reach of an event in the table: knock at one speed and load is knock a little beside it. Common practice, no published source. */
const SPEED_REACH_LN = 0.18;
const LOAD_REACH = 0.13;
/** Single blips of a degree or two come on gear changes; a place knocks when it does so this often. @source RT-18 */
const REPEATS = 2;
/** Events in a second of load that noise makes: about one in two minutes. Common practice, no published source. */
const NOISE_PER_S = 0.012;
/** So improbable must the count be by noise alone. */
const CHANCE = 0.001;
/** Most that one round takes out [deg]; the next drive tells whether it was enough. Common practice, no published source. */
const LARGEST_DEG = 4;
const STEP_DEG = 0.25;
/** Spark is given back, or taken out further, only on evidence: what a retard of so many degrees does not say exactly. */
const SD_DEG = 1;

export default defineCorrection({
  id: "spark.main",
  title: "Spark taken out where knock repeats",
  writes: "spark.main",
  needs: ["spark.main"],
  observationsNeeded: "Load with knock retard logged, the same hills or sweeps more than once: knock repeats, noise does not.",
  why: "Where the controller takes spark out again and again, the table asks for more than this fuel and chamber bear: each time some cycles knock before it reacts. Spark is taken out here, never added.",
  heldBy: ["fuel.delivery-low"],
  largestStep: Number.POSITIVE_INFINITY,
  sources: ["RT-17", "RT-18", "PH-19", "common-practice"],
  compute(input) {
    const table = input.table["spark.main"]!;
    if (table.x === undefined || table.y === undefined) return {};
    const map = knockMap(input.observations, input.intake.engine.cylinders);
    if (map === undefined) return { couldNot: "spark.main was not looked at for knock: the recordings hold no knock retard under load" };
    if (!isKnocking(map, input)) return {};
    const out = takenOutDeg(table, map);
    if (out.retardDeg.every((deg) => deg === 0)) return {};
    const most = out.retardDeg.reduce((a, b) => Math.max(a, b));
    return {
      change: {
        cells: table.cells.map((cell, k) => cell - out.retardDeg[k]!),
        sd: new Float64Array(table.cells.length).fill(SD_DEG),
        sdKind: "absolute",
        coverage: out.seconds,
        limited: most >= LARGEST_DEG ? [`No cell lost more than ${LARGEST_DEG}° in this round: drive again and look whether knock comes back.`] : [],
        why:
          `${map.events.length} times spark was taken out for knock, ${places(map.events)}. As much comes out of the table as the controller took out three times of four, ` +
          "in the cells around and, at the same speed, in all with more load; it fades over a fifth in speed and an eighth of the load axis. Find the cause as well: fuel, intake heat, deposits, a lean mixture.",
      },
    };
  },
});

/** Knock by the diagnosis, or by a count that noise does not make. */
function isKnocking(map: KnockMap, { suspects }: CorrectionInput): boolean {
  if (map.events.length < REPEATS) return false;
  if (probabilityOf(suspects, "ignition.knock") >= 0.5) return true;
  const expected = NOISE_PER_S * map.seconds.reduce((a, b) => a + b, 0);
  return map.events.length > REPEATS && poissonTail(map.events.length, expected) < CHANCE;
}

/** Probability of so many events or more where so many are expected. */
function poissonTail(count: number, expected: number): number {
  let term = Math.exp(-expected);
  let below = 0;
  for (let k = 0; k < count; k++) {
    below += term;
    term *= expected / (k + 1);
  }
  return 1 - below;
}

/** Degrees to take out of each cell, and the seconds under load that speak for it. */
function takenOutDeg(table: Table, map: KnockMap): { retardDeg: Float64Array; seconds: Float64Array } {
  const columns = columnsOf(table);
  const speeds = table.x!.values;
  const loads = table.y!.values;
  const span = loads.at(-1)! - loads[0]!;
  const near = (at: { rpm: number; airG: number }, rpm: number, airG: number): number =>
    Math.exp(-(((Math.log(rpm / at.rpm) / SPEED_REACH_LN) ** 2 + ((airG - at.airG) / span / LOAD_REACH) ** 2) / 2));
  const retardDeg = new Float64Array(table.cells.length);
  const seconds = new Float64Array(table.cells.length);
  for (let k = 0; k < table.cells.length; k++) {
    const cell = { rpm: Math.max(1, speeds[k % columns]!), airG: loads[Math.floor(k / columns)]! };
    const weights = map.events.map((event) => near(cell, event.rpm, event.airG));
    const closest = Math.max(...weights);
    // How often the place knocks counts all events in reach; how much comes out goes by those nearest, and fades with distance.
    const repeats = weights.reduce((sum, weight) => sum + Math.min(1, 2 * weight), 0);
    if (repeats >= REPEATS) retardDeg[k] = Math.min(LARGEST_DEG, upperQuartile(map.events, weights) * Math.min(1, 1.5 * closest));
    for (let i = 0; i < map.rpm.length; i++)
      if (Math.abs(map.airG[i]! - cell.airG) < LOAD_REACH * span) seconds[k] = seconds[k]! + map.seconds[i]! * near(cell, map.rpm[i]!, map.airG[i]!);
  }
  // More air at the same speed never knocks less.
  for (let k = columns; k < retardDeg.length; k++) retardDeg[k] = Math.max(retardDeg[k]!, retardDeg[k - columns]!);
  return { retardDeg: retardDeg.map((deg) => Math.round(deg / STEP_DEG) * STEP_DEG), seconds };
}

/** Retard that the nearest events did not pass three times of four [deg]. */
function upperQuartile(events: readonly KnockEvent[], weights: readonly number[]): number {
  const order = events.map((_, i) => i).sort((a, b) => events[a]!.retardDeg - events[b]!.retardDeg);
  const total = weights.reduce((a, b) => a + b, 0);
  let sum = 0;
  for (const i of order) {
    sum += weights[i]!;
    if (sum >= 0.75 * total) return events[i]!.retardDeg;
  }
  return 0;
}

function places(events: readonly KnockEvent[]): string {
  const speeds = events.map(({ rpm }) => rpm);
  const worst = events.reduce((a, b) => (b.retardDeg > a.retardDeg ? b : a));
  const round = (rpm: number): string => String(Math.round(rpm / 50) * 50);
  return `between ${round(Math.min(...speeds))} and ${round(Math.max(...speeds))} rpm, by up to ${worst.retardDeg.toFixed(1)}° at ${round(worst.rpm)} rpm and ${worst.airG.toFixed(2)} g a cylinder (${worst.recording}, ${worst.atS.toFixed(1)} s)`;
}
