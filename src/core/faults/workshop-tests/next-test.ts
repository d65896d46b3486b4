import type { FaultId } from "../../result/index.ts";
import { outcomeProbability, type WorkshopTest } from "./define.ts";

export interface RankedTest {
  readonly test: WorkshopTest;
  /** Expected information about which story is true [bit]. */
  readonly bits: number;
  readonly bitsPerMinute: number;
}

/** Tests by expected information per minute of work, given the probabilities of all stories. */
export function rankTests(tests: readonly WorkshopTest[], probabilities: ReadonlyMap<FaultId, number>): readonly RankedTest[] {
  return tests
    .map((test) => {
      const bits = expectedBits(test, probabilities);
      return { test, bits, bitsPerMinute: bits / test.minutes };
    })
    .sort((a, b) => b.bitsPerMinute - a.bitsPerMinute || (a.test.id < b.test.id ? -1 : 1));
}

/** The test that best tells two stories apart for its time; undefined when none does. */
export function decidingTest(tests: readonly WorkshopTest[], top: FaultId, other: FaultId): WorkshopTest | undefined {
  const best = rankTests(
    tests,
    new Map([
      [top, 0.5],
      [other, 0.5],
    ]),
  )[0];
  return best !== undefined && best.bits > 0.05 ? best.test : undefined;
}

/** Mutual information of story and outcome: entropy of the stories less the mean entropy that remains. */
function expectedBits(test: WorkshopTest, probabilities: ReadonlyMap<FaultId, number>): number {
  let bits = 0;
  for (const outcome of test.outcomes) {
    let total = 0;
    for (const [fault, p] of probabilities) total += p * outcomeProbability(test, fault, outcome);
    for (const [fault, p] of probabilities) {
      const given = outcomeProbability(test, fault, outcome);
      if (p > 0 && given > 0) bits += p * given * Math.log2(given / total);
    }
  }
  return Math.max(0, bits);
}
