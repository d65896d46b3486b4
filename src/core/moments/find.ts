import crank from "./crank.ts";
import cruise from "./cruise.ts";
import type { MomentDefinition, MomentInput } from "./define.ts";
import fuelCut from "./fuel-cut.ts";
import fullLoad from "./full-load.ts";
import type { Moment } from "./moment.ts";
import shift from "./shift.ts";
import tipIn from "./tip-in.ts";
import warmIdle from "./warm-idle.ts";
import warmUp from "./warm-up.ts";

/** Every kind of moment, in order of id. */
export const MOMENTS: readonly MomentDefinition[] = [crank, cruise, fuelCut, fullLoad, shift, tipIn, warmIdle, warmUp];

/** Labelled spans of a recording, by start and then by kind. Spans of different kinds may overlap (a tip-in within a full load). */
export function findMoments(input: MomentInput): readonly Moment[] {
  const moments = MOMENTS.flatMap((definition) => spansOf(definition, input));
  return moments.sort((a, b) => a.fromS - b.fromS || (a.kind < b.kind ? -1 : a.kind > b.kind ? 1 : 0));
}

function spansOf(definition: MomentDefinition, input: MomentInput): Moment[] {
  const { timeS, dtS } = input;
  const marks = definition.mark(input);
  const spans: Moment[] = [];
  let from = -1;
  let last = -1;
  const close = (): void => {
    if (from >= 0 && (last - from + 1) * dtS >= definition.shortestS) spans.push({ kind: definition.kind, fromS: timeS[from]!, toS: timeS[last]! });
    from = -1;
  };
  for (let i = 0; i < marks.length; i++) {
    if (marks[i] !== 1) continue;
    if (from >= 0 && (i - last - 1) * dtS > definition.bridgeS) close();
    if (from < 0) from = i;
    last = i;
  }
  close();
  return spans;
}
