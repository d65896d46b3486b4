import type { FaultId } from "../../result/index.ts";

/** A test in the workshop: what it takes, what may come out, and how likely each outcome is under each fault. */
export interface WorkshopTest {
  readonly id: string;
  readonly title: string;
  /** How it is done, in a sentence or two. */
  readonly how: string;
  readonly minutes: number;
  readonly cautions: readonly string[];
  readonly outcomes: readonly string[];
  /** Probability of each outcome under a fault; a fault not named behaves as `otherwise`. Each row sums to 1. */
  readonly under: Readonly<Partial<Record<FaultId, Readonly<Record<string, number>>>>>;
  readonly otherwise: Readonly<Record<string, number>>;
  readonly sources: readonly string[];
}

export function defineTest<const T extends WorkshopTest>(test: T): T {
  return test;
}

/** Probability of an outcome under a fault. */
export function outcomeProbability(test: WorkshopTest, fault: FaultId, outcome: string): number {
  return (test.under[fault] ?? test.otherwise)[outcome] ?? 0;
}
