import type { Evidence, FaultId, Suspect } from "../result/index.ts";
import type { Role } from "../tables/index.ts";
import type { Fault } from "./define.ts";
import { healthyEvidence, regionMeans, storyEvidence } from "./evidence.ts";
import { type DiagnosisInput, type Facts, factsOf } from "./facts.ts";
import { compareStories, type StoryFit } from "./inference.ts";
import { type StoryPicture, storyPictures } from "./picture.ts";
import { type ResidualPoint, residualPoints } from "./points.ts";
import { FAULT_STORIES } from "./registry.ts";
import { type Weighing, weigh } from "./weigh.ts";
import { decidingTest, type RankedTest, rankTests, WORKSHOP_TESTS, type WorkshopTest } from "./workshop-tests/index.ts";

/** A fault that a correction would bake in: mend it first. */
export interface RepairFirst {
  readonly fault: FaultId;
  readonly title: string;
  readonly probability: number;
  /** Roles whose correction is held until it is mended. */
  readonly holds: readonly Role[];
  readonly because: string;
}

export interface Diagnosis {
  /** All stories, likeliest first; probabilities sum to 1. */
  readonly suspects: readonly Suspect[];
  readonly couldNot: readonly string[];
  readonly repairFirst: readonly RepairFirst[];
  /** Pictures of the leading stories. */
  readonly pictures: readonly StoryPicture[];
  /** Workshop tests by expected information per minute. */
  readonly nextTests: readonly RankedTest[];
  /** What to record next, and why. */
  readonly recordNext: readonly string[];
}

/** Probability from which a fault holds the corrections that it would poison. */
export const HOLD_FROM = 0.3;
const SHOWN_FROM = 0.02;
/** A runner-up below this is no rival: then the test confirms the leader. */
const RIVAL_FROM = 0.04;

/** Which mechanical story explains the recordings best; see docs for the method. Pure and deterministic. */
export function diagnose(input: DiagnosisInput): Diagnosis {
  const facts = factsOf(input);
  const points = residualPoints(facts);
  const comparison = compareStories(points, FAULT_STORIES, facts);
  const weighing = weigh(FAULT_STORIES, comparison, facts);
  const ranked = [...FAULT_STORIES].sort((a, b) => weighing.probabilities.get(b.id)! - weighing.probabilities.get(a.id)! || (a.id < b.id ? -1 : 1));
  const means = regionMeans(points, comparison, facts);
  const suspects = ranked.map((fault): Suspect => {
    const fit = comparison.stories.get(fault.id);
    const direct = weighing.direct.get(fault.id);
    const stated = weighing.stated.get(fault.id)!;
    const residual =
      fault.id === "healthy"
        ? withSignals(healthyEvidence(means), weighing)
        : fit === undefined || points.length === 0
          ? { for: [], against: [] }
          : storyEvidence(fault, fit, points, means, facts);
    const next = nextText(fault, ranked, weighing);
    const sizes = sizesOf(fault, fit, weighing, facts);
    return {
      fault: fault.id,
      probability: weighing.probabilities.get(fault.id)!,
      for: [...(direct?.for ?? []), ...stated.for, ...residual.for],
      against: [...(direct?.against ?? []), ...stated.against, ...residual.against, ...pairRemark(fault, weighing)],
      ...(next === undefined ? {} : { next }),
      ...(sizes === undefined ? {} : { sizes }),
    };
  });
  return {
    suspects,
    couldNot: [...couldNotLines(points, facts, weighing)],
    repairFirst: repairFirst(ranked, weighing, facts),
    pictures: ranked
      .filter((fault) => weighing.probabilities.get(fault.id)! > 0.1)
      .slice(0, 3)
      .flatMap((fault) => {
        const fit = comparison.stories.get(fault.id);
        return fit === undefined ? [] : storyPictures(fault, fit, points, comparison, facts);
      }),
    nextTests: rankTests(WORKSHOP_TESTS, weighing.probabilities).filter((test) => test.bits > 0.01),
    recordNext: recordNext(points, facts, ranked, weighing),
  };
}

/** What signals say by themselves about single faults speaks the other way about nothing being broken. */
function withSignals(residual: { for: Evidence[]; against: Evidence[] }, weighing: Weighing): { for: Evidence[]; against: Evidence[] } {
  const strongest = [...weighing.direct.values()].sort((a, b) => Math.abs(b.logRatio) - Math.abs(a.logRatio));
  return {
    for: [...residual.for, ...strongest.filter(({ logRatio }) => logRatio < -1).flatMap((direct) => direct.against.slice(0, 1))].slice(0, 8),
    against: [...strongest.filter(({ logRatio }) => logRatio > 1).flatMap((direct) => direct.for.slice(0, 1)), ...residual.against],
  };
}

/** The deciding test: for the leader against its runner-up, for any other against the leader. */
function nextText(fault: Fault, ranked: readonly Fault[], weighing: Weighing): string | undefined {
  const top = ranked[0]!;
  if (weighing.probabilities.get(fault.id)! < SHOWN_FROM && fault !== top) return undefined;
  const rival = fault === top ? rivalOf(top, ranked, weighing) : top;
  const test: WorkshopTest | undefined = decidingTest(WORKSHOP_TESTS, fault.id, rival.id);
  if (test === undefined) return undefined;
  return `${test.title} (about ${test.minutes} min): tells it from "${lower(rival.title)}". ${test.how} Caution: ${test.cautions[0]}`;
}

/** The runner-up; where it is out of the question, "nothing broken": then the test confirms the leader before parts are bought. */
function rivalOf(top: Fault, ranked: readonly Fault[], weighing: Weighing): Fault {
  const runnerUp = ranked.find((other) => other !== top)!;
  const healthy = ranked.find((other) => other.id === "healthy")!;
  return top === healthy || weighing.probabilities.get(runnerUp.id)! >= RIVAL_FROM ? runnerUp : healthy;
}

function sizesOf(fault: Fault, fit: StoryFit | undefined, weighing: Weighing, facts: Facts): Suspect["sizes"] {
  const direct = weighing.direct.get(fault.id)?.sizes;
  if (direct !== undefined) return direct;
  if (weighing.probabilities.get(fault.id)! < SHOWN_FROM) return undefined;
  if (fit === undefined || fault.story === undefined) return undefined;
  const { size, shown, manners } = fault.story;
  const show = (value: number): { name: string; unit: string; value: number } => shown?.(value, facts) ?? { name: size.name, unit: size.unit, value };
  const middle = show(fit.size.value);
  const says = manners.length > 1 ? `${middle.name}, ${manners.find((m) => m.id === fit.manner)?.says ?? ""}` : middle.name;
  return [{ name: says, unit: middle.unit, value: middle.value, low: show(fit.size.low).value, high: show(fit.size.high).value }];
}

function pairRemark(fault: Fault, weighing: Weighing): Evidence[] {
  const pair = weighing.pair;
  if (pair === undefined || pair.probability < 0.3 || !pair.faults.includes(fault.id)) return [];
  const other = pair.faults[0] === fault.id ? pair.faults[1] : pair.faults[0];
  return [{ text: `Does not explain everything alone: together with ${other} it has probability ${pair.probability.toFixed(2)}` }];
}

function repairFirst(ranked: readonly Fault[], weighing: Weighing, facts: Facts): RepairFirst[] {
  return ranked
    .filter((fault) => fault.poisons.length > 0 && weighing.present.get(fault.id)! >= HOLD_FROM)
    .map((fault) => ({
      fault: fault.id,
      title: fault.title,
      probability: weighing.present.get(fault.id)!,
      holds: fault.poisons,
      because:
        fault.poisons.includes("air.meter-curve") && facts.intakeTractChanged && fault.id.startsWith("air.meter") ? `${fault.cost} ${OTHER_DUCT}` : fault.cost,
    }));
}

/** Another duct and a failing element look alike in every recording: only a look at the parts tells them apart. */
const OTHER_DUCT =
  "The intake sheet names other intake parts: where element and duct are found sound and stay, the meter's housing has changed and the held curve is the one it needs.";

function couldNotLines(points: readonly ResidualPoint[], facts: Facts, weighing: Weighing): string[] {
  // A part that the vehicle does not have was not left unjudged.
  const lines = FAULT_STORIES.filter((fault) => fault.applies?.(facts) !== false).flatMap(({ id }) => weighing.direct.get(id)?.couldNot ?? []);
  const has = (test: (p: ResidualPoint) => boolean): boolean => points.some(test);
  if (!has((p) => p.channel === "fuel"))
    lines.push(
      "diagnosis: mixture is not known (neither trims in closed loop nor a wide-range lambda in steady warm running): fuel faults cannot be judged, leaks rest on air alone",
    );
  if (!has((p) => p.channel === "model"))
    lines.push(
      facts.hasMeter
        ? "diagnosis: no speed-density air (manifold pressure or VE table missing): leaks and meter faults cannot be held against it"
        : facts.meterUnlogged
          ? "diagnosis: the airflow meter's signal was not recorded: a leak and a throttle that passes too much air look alike, and the meter shows only in the mixture"
          : "diagnosis: no airflow meter: a leak and a throttle that passes too much air look alike, and a meter cannot be judged",
    );
  if (!has((p) => p.channel === "idle" || p.channel === "throttle"))
    lines.push(
      "diagnosis: neither commanded idle airflow in settled warm idle nor throttle position with its area curve: a throttle that passes too much or too little cannot be judged",
    );
  if (!has((p) => p.channel === "map-at-rest"))
    lines.push("diagnosis: manifold pressure was not recorded with the engine at rest: a pressure sensor offset shows only indirectly");
  return lines;
}

/** A story between these probabilities is in doubt: another recording may settle it. */
const DOUBT_FROM = 0.06;
const DOUBT_TO = 0.9;

/** What was never observed, then what would settle the likeliest stories that are still in doubt. */
function recordNext(points: readonly ResidualPoint[], facts: Facts, ranked: readonly Fault[], weighing: Weighing): string[] {
  const lines: string[] = [];
  const fuel = points.filter((p) => p.channel === "fuel");
  const reached = Math.max(0, ...points.map((p) => (Number.isFinite(p.at.airflowGps) ? p.at.airflowGps : 0)));
  if (!points.some((p) => p.channel === "idle")) lines.push("Two minutes of settled warm idle in closed loop: leaks, throttle and dead time show there");
  if (reached < 0.5 * facts.fullAirGps) lines.push("Two sweeps at full load on a dynamometer or closed course: fuel delivery and meter slope show there");
  if (!fuel.some((p) => p.at.airflowGps > 2.5 * facts.idleAirGps && p.at.airflowGps < 0.4 * facts.fullAirGps))
    lines.push("Five minutes of steady driving at several speeds: whether an error fades with airflow decides between leak, dead time and meter");
  if (!points.some((p) => p.channel === "map-at-rest"))
    lines.push("Ten seconds with ignition on and engine off before the start: manifold pressure against the barometer");
  if (facts.meterUnlogged) lines.push("The airflow meter's own signal: without it leak, meter and throttle cannot be held against one another");
  const blind = facts.hasMeter ? [] : ["air.unmetered-leak", "air.throttle-overflow"];
  const doubtful = ranked.filter(({ id }) => !blind.includes(id) && weighing.probabilities.get(id)! > DOUBT_FROM && weighing.probabilities.get(id)! < DOUBT_TO);
  lines.push(...doubtful.slice(0, 3).flatMap(({ record }) => (record === undefined ? [] : [record])));
  return [...new Set(lines)];
}

function lower(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}
