import type { SignalGuess, SignalId, Unit } from "../../core/units/index.ts";
import type { RecordingContext } from "./recording.ts";

/** What is known of a column before it is given a meaning. */
export interface ColumnFacts {
  readonly index: number;
  readonly name: string;
  /** As the file has it. */
  readonly source: string;
  readonly unitText: string;
  readonly unit: Unit | "unknown" | undefined;
  readonly isClock: boolean;
  readonly guesses: readonly SignalGuess[];
  readonly values: Float64Array;
}

export interface ChosenColumn {
  readonly fact: ColumnFacts;
  readonly signal: SignalId;
  readonly confidence: number;
}

/** Gives each signal to the column that claims it best; a column that loses takes its next guess, or stays unrecognised. */
export function chooseSignals(
  facts: readonly ColumnFacts[],
  context: RecordingContext,
  repairs: string[],
): { chosen: readonly ChosenColumn[]; unrecognised: readonly ColumnFacts[] } {
  const claims = facts.flatMap((fact) => {
    const named = namedAs(context.columns ?? {}, fact);
    if (named !== undefined) return named === "none" ? [] : [{ fact, signal: named, confidence: 1, isNamed: true }];
    return fact.guesses.map((guess) => ({ fact, signal: meaningIn(context, guess.signal), confidence: claim(fact, guess.confidence), isNamed: false }));
  });
  // What a person named goes before everything that was guessed.
  claims.sort((a, b) => Number(b.isNamed) - Number(a.isNamed) || b.confidence - a.confidence || a.fact.index - b.fact.index);
  const bySignal = new Map<SignalId, ChosenColumn>();
  const taken = new Set<number>();
  const losers = new Map<number, SignalId>();
  for (const { fact, signal, confidence } of claims) {
    if (taken.has(fact.index)) continue;
    // A second choice is taken only when it is nearly as good as the first: a loser is no evidence for another meaning.
    const best = fact.guesses[0]?.confidence ?? 1;
    if (bySignal.has(signal)) {
      if (!losers.has(fact.index)) losers.set(fact.index, signal);
      continue;
    }
    if (losers.has(fact.index) && confidence < 0.85 * best) continue;
    bySignal.set(signal, { fact, signal, confidence });
    taken.add(fact.index);
  }
  for (const [index, signal] of losers)
    if (!taken.has(index)) {
      const fact = facts.find((candidate) => candidate.index === index)!;
      repairs.push(`${fact.source}: also looks like ${signal}, which "${bySignal.get(signal)!.fact.source}" is; kept as unrecognised`);
    }
  return { chosen: [...bySignal.values()].sort((a, b) => a.fact.index - b.fact.index), unrecognised: facts.filter((fact) => !taken.has(fact.index)) };
}

/** What a person named a column; its full source goes before its bare name. */
function namedAs(columns: NonNullable<RecordingContext["columns"]>, fact: ColumnFacts): SignalId | "none" | undefined {
  const key = [fact.source, fact.name].find((name) => Object.hasOwn(columns, name));
  return key === undefined ? undefined : columns[key];
}

function meaningIn(context: RecordingContext, signal: SignalId): SignalId {
  return context.isSweep === true && signal === "vss" ? "rollerKmh" : signal;
}

/** A column without samples loses to one that has them; a dead one (never moving) to a living one. */
function claim(fact: ColumnFacts, confidence: number): number {
  let first = Number.NaN;
  for (const value of fact.values) {
    if (Number.isNaN(value) || value === first) continue;
    if (!Number.isNaN(first)) return confidence;
    first = value;
  }
  return confidence * (Number.isNaN(first) ? 0.3 : 0.97);
}
