import type { Evidence, FaultId } from "../result/index.ts";
import type { DirectEvidence, Fault } from "./define.ts";
import type { Facts } from "./facts.ts";
import { type Comparison, logAdd, pairKey } from "./inference.ts";
import { codeEvidence } from "./trouble-codes.ts";
import { outcomeProbability, outcomesOf, WORKSHOP_TESTS } from "./workshop-tests/index.ts";

/**
 * Share of vehicles that come in with nothing broken, and with two things broken. Common practice: most vehicles come with a reason.
 */
const HEALTHY_SHARE = 0.26;
const PAIR_SHARE = 0.08;
/**
 * Exponent on the recordings' likelihood ratios: generous errors and the inflation of variances leave them a little too modest. Set so that stated
 * probabilities come true on virtual vehicles, also on ones whose tables are twice as far off as assumed.
 */
const SHARPNESS = 1.18;

export interface Weighing {
  /** Probability of each story, a pair's shared between its members; sums to 1. */
  readonly probabilities: ReadonlyMap<FaultId, number>;
  /** Probability that a fault is there, alone or with another. */
  readonly present: ReadonlyMap<FaultId, number>;
  /** The strongest pair and its probability. */
  readonly pair: { readonly faults: readonly [FaultId, FaultId]; readonly probability: number } | undefined;
  readonly direct: ReadonlyMap<FaultId, DirectEvidence>;
  /** Sentences that bear on a story besides residuals and signals: codes, workshop outcomes, what was changed. */
  readonly stated: ReadonlyMap<FaultId, { readonly for: readonly Evidence[]; readonly against: readonly Evidence[] }>;
}

/**
 * Weighs all stories, alone and in pairs: prior, marginal likelihood of the residuals, signals of their own, codes and workshop outcomes.
 * The customer's complaint is not evidence here: it says what to look for, and people name what they fear.
 */
export function weigh(faults: readonly Fault[], comparison: Comparison, facts: Facts): Weighing {
  const broken = faults.filter((fault) => fault.id !== "healthy");
  const direct = new Map(broken.map((fault) => [fault.id, fault.direct?.(facts) ?? { logRatio: 0, for: [], against: [] }]));
  const stated = new Map(faults.map((fault) => [fault.id, { for: [] as Evidence[], against: [] as Evidence[] }]));
  const own = new Map(broken.map((fault) => [fault.id, direct.get(fault.id)!.logRatio]));
  const add = (fault: FaultId, logRatio: number): void => {
    own.set(fault, (own.get(fault) ?? 0) + logRatio);
  };
  for (const code of codeEvidence(facts.input.intake.troubleCodes)) {
    add(code.fault, code.logRatio);
    stated.get(code.fault)?.for.push({ text: code.text });
  }
  const priors = priorsOf(broken, facts, stated);
  const tests = testLogs(faults, facts, stated);

  const hypotheses: { faults: readonly FaultId[]; log: number }[] = [];
  const suppose = (ids: readonly FaultId[], prior: number, evidence: number): void => {
    hypotheses.push({ faults: ids, log: Math.log(prior) + SHARPNESS * evidence + tests(ids) });
  };
  suppose([], HEALTHY_SHARE, 0);
  const residual = (id: FaultId): number => comparison.stories.get(id)?.logEvidence ?? 0;
  for (const [i, a] of broken.entries()) {
    suppose([a.id], (1 - HEALTHY_SHARE - PAIR_SHARE) * priors.get(a.id)!, residual(a.id) + own.get(a.id)!);
    for (const b of broken.slice(i + 1)) {
      const both = comparison.pairs.get(pairKey(a.id, b.id)) ?? residual(a.id) + residual(b.id);
      suppose([a.id, b.id], 2 * PAIR_SHARE * priors.get(a.id)! * priors.get(b.id)!, both + own.get(a.id)! + own.get(b.id)!);
    }
  }
  const total = hypotheses.reduce((sum, h) => logAdd(sum, h.log), Number.NEGATIVE_INFINITY);
  const weighted = hypotheses.map((h) => ({ faults: h.faults, probability: Math.exp(h.log - total) }));
  return { ...marginals(faults, weighted), direct, stated };
}

function priorsOf(broken: readonly Fault[], facts: Facts, stated: Map<FaultId, { for: Evidence[]; against: Evidence[] }>): Map<FaultId, number> {
  const weights = new Map<FaultId, number>();
  for (const fault of broken) {
    let weight = fault.prior;
    if (fault.applies?.(facts) === false) {
      weight *= 0.01;
      stated.get(fault.id)!.against.push({ text: "The vehicle does not have the part, by its intake sheet and recordings" });
    }
    for (const reason of fault.priorReasons?.(facts) ?? []) {
      weight *= reason.factor;
      stated
        .get(fault.id)!
        [reason.factor >= 1 ? "for" : "against"].push({ text: `${reason.factor >= 1 ? "Likelier" : "Less likely"} beforehand: ${reason.because}` });
    }
    weights.set(fault.id, weight);
  }
  const total = [...weights.values()].reduce((s, w) => s + w, 0);
  return new Map([...weights].map(([id, weight]) => [id, weight / total]));
}

/** ln probability of all workshop outcomes on the intake sheet under a set of faults. */
function testLogs(
  faults: readonly Fault[],
  facts: Facts,
  stated: Map<FaultId, { for: Evidence[]; against: Evidence[] }>,
): (present: readonly FaultId[]) => number {
  const outcomes = outcomesOf(facts.input.intake).flatMap(({ test: id, outcome, says }) => {
    const test = WORKSHOP_TESTS.find((t) => t.id === id);
    return test === undefined || !(test.outcomes as readonly string[]).includes(outcome) ? [] : [{ test, outcome, says: says ?? `${test.title}: ${outcome}` }];
  });
  for (const { test, outcome, says } of outcomes)
    for (const fault of faults) {
      const ratio = Math.log(outcomeProbability(test, fault.id, outcome) / (test.otherwise as Readonly<Record<string, number>>)[outcome]!);
      if (Math.abs(ratio) > 0.5) stated.get(fault.id)![ratio > 0 ? "for" : "against"].push({ text: says });
    }
  return (present) =>
    outcomes.reduce((log, { test, outcome }) => {
      const named = present.filter((id) => id in test.under);
      const rows = named.length === 0 ? ["healthy" as FaultId] : named;
      return log + Math.log(rows.reduce((s, id) => s + outcomeProbability(test, id, outcome), 0) / rows.length);
    }, 0);
}

/** Shares each pair between its members by how surely each is there at all: a member that only rides along gets little. */
function marginals(
  faults: readonly Fault[],
  weighted: readonly { readonly faults: readonly FaultId[]; readonly probability: number }[],
): Pick<Weighing, "probabilities" | "present" | "pair"> {
  const present = new Map<FaultId, number>(faults.map((fault) => [fault.id, 0]));
  for (const { faults: ids, probability } of weighted)
    for (const id of ids.length === 0 ? (["healthy"] as const) : ids) present.set(id, present.get(id)! + probability);
  const probabilities = new Map<FaultId, number>(faults.map((fault) => [fault.id, 0]));
  let pair: Weighing["pair"];
  for (const { faults: ids, probability } of weighted) {
    const [a, b] = ids;
    if (a === undefined) probabilities.set("healthy", probabilities.get("healthy")! + probability);
    else if (b === undefined) probabilities.set(a, probabilities.get(a)! + probability);
    else {
      const share = present.get(a)! / (present.get(a)! + present.get(b)!);
      probabilities.set(a, probabilities.get(a)! + share * probability);
      probabilities.set(b, probabilities.get(b)! + (1 - share) * probability);
      if (pair === undefined || probability > pair.probability) pair = { faults: [a, b], probability };
    }
  }
  return { probabilities, present, pair };
}
