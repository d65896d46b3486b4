import { bitsOfLeftOver, plainestWithin } from "./code-length.ts";
import { type Comparison, leftOver } from "./comparison.ts";
import { addendIntervals, factorIntervals, type Limits, mostAgreed, surpriseOfEqualMoves, surpriseOfPlainFactor } from "./fit-number.ts";
import type { Story } from "./story.ts";

const PRIOR = { scaled: 1, offset: 1, zeroed: 0, flattened: 1, clamped: 1 } as const;
/** A limit is a number that every cell obeys: it needs no place, and its own value is seen in the cells that were cut. */
const BITS_OF_A_LIMIT = 4;
/** Ceiling and floor together are rare. */
const BITS_OF_BOTH_LIMITS = 12;
/** A cut at the table's limit beside a factor or addend: rarer, and the limit has to be said. */
const BITS_OF_A_CUT = 5;

/** Who multiplies or raises a whole table means to move every cell: cells that stayed speak against it, up to so many bits. */
const BITS_OF_CELLS_THAT_STAYED = 10;
/** Received and reference rounded each on its own, as a sister vehicle's table is. */
const BITS_OF_ROUNDED_APART = 5;
const BITS_OF_ADDEND_OFF_GRID = 6;

/** Everything that can be said of a table as a whole. */
export function wholeTableStories(c: Comparison): Story[] {
  // An addend on a table that lies on a grid moves every cell by the same whole steps: only printed digits may differ.
  const exact = { ...c, tolerance: c.printed };
  const apart = { ...c, tolerance: c.tolerance.map((t) => t + c.step / 2) };
  return [
    ...constantStories(c),
    ...factorStories(c),
    ...factorStories(apart, BITS_OF_ROUNDED_APART),
    ...addendStories(exact),
    ...addendStories(c, BITS_OF_ADDEND_OFF_GRID),
    ...clampStories(c),
  ];
}

/** Share of the cells that could have moved and did not. */
function shareThatStayed(c: Comparison, cuts: number): number {
  const couldMove = c.reference.reduce((n, r) => n + (r === 0 ? 0 : 1), 0) - cuts;
  return couldMove <= 0 ? 0 : Math.min(1, Math.max(0, (couldMove - c.changed.length) / couldMove));
}

function count(steps: Float64Array): number {
  let unexplained = 0;
  for (const s of steps) if (s !== 0) unexplained++;
  return unexplained;
}

function constantStories(c: Comparison): Story[] {
  const value = c.received[0]!;
  const isFlat = (cells: Float64Array, at: number): boolean => cells.every((v, i) => Math.abs(v - at) <= c.printed[i]!);
  if (!isFlat(c.received, value)) return [];
  if (value === 0) return [{ kind: "zeroed", by: 0, bits: PRIOR.zeroed, unexplained: 0 }];
  // A table that was flat before has not been flattened: a factor or an addend says more.
  return isFlat(c.reference, c.reference[0]!) ? [] : [{ kind: "flattened", bits: PRIOR.flattened, unexplained: 0 }];
}

/** Limits at which cells may have been cut: none, the table's own largest or smallest value. */
function possibleLimits(c: Comparison): Limits[] {
  if (c.received.length < 4) return [{}];
  return [{}, { ceiling: Math.max(...c.received) }, { floor: Math.min(...c.received) }];
}

function cutBy(c: Comparison, predicted: Float64Array, limits: Limits): { cells: Float64Array; count: number } {
  let cuts = 0;
  const cells = predicted.map((p, i) => {
    if (limits.ceiling !== undefined && p > limits.ceiling + c.tolerance[i]!) {
      cuts++;
      return limits.ceiling;
    }
    if (limits.floor !== undefined && p < limits.floor - c.tolerance[i]!) {
      cuts++;
      return limits.floor;
    }
    return p;
  });
  return { cells, count: cuts };
}

function numberStories(
  c: Comparison,
  kind: "scaled" | "offset",
  intervalsOf: (limits: Limits) => (readonly [number, number])[],
  predict: (by: number) => Float64Array,
  extraBits: number,
): Story[] {
  const stories: Story[] = [];
  const from = kind === "scaled" ? 1 : 0;
  for (const limits of possibleLimits(c)) {
    const agreed = mostAgreed(intervalsOf(limits));
    if (agreed === undefined || agreed.low < -1e11 || agreed.high > 1e11) continue;
    const by = plainestWithin(agreed.low, agreed.high, from, kind === "offset" ? c.step : 0);
    if (by === undefined || by.value === from) continue;
    const { cells, count: cuts } = cutBy(c, predict(by.value), limits);
    const steps = leftOver(c, cells);
    const isCut = limits.ceiling !== undefined || limits.floor !== undefined;
    // A limit that cuts nothing, or nearly all, or leaves the rest as it was, is no story of its own.
    if (isCut && (cuts === 0 || c.received.length - cuts < 3 || c.changed.length - cuts < 0.4 * (c.received.length - cuts))) continue;
    const cut = isCut ? ({ count: cuts, at: (limits.ceiling ?? limits.floor)!, side: limits.ceiling !== undefined ? "ceiling" : "floor" } as const) : undefined;
    const surprise =
      kind === "scaled"
        ? surpriseOfEqualMoves(c, allCells(c), by.value)
        : surpriseOfPlainFactor(mostAgreed(factorIntervals(c, allCells(c))), c.received.length);
    const bits =
      PRIOR[kind] +
      extraBits +
      surprise +
      by.bits +
      (cut ? BITS_OF_A_CUT + cuts : 0) +
      BITS_OF_CELLS_THAT_STAYED * shareThatStayed(c, cuts) +
      bitsOfLeftOver(steps);
    stories.push({ kind, by: by.value, bits, unexplained: count(steps), cut });
  }
  return stories;
}

function allCells(c: Comparison): number[] {
  return Array.from(c.received, (_, i) => i);
}

function factorStories(c: Comparison, extraBits = 0): Story[] {
  return numberStories(
    c,
    "scaled",
    (limits) => factorIntervals(c, allCells(c), limits),
    (by) => c.reference.map((r) => r * by),
    extraBits,
  );
}

function addendStories(c: Comparison, extraBits = 0): Story[] {
  return numberStories(
    c,
    "offset",
    (limits) => addendIntervals(c, allCells(c), limits),
    (by) => c.reference.map((r) => r + by),
    extraBits,
  );
}

/** Cut at a ceiling, a floor or both, the rest untouched. */
function clampStories(c: Comparison): Story[] {
  const n = c.received.length;
  if (n < 3) return [];
  const ceiling = Math.max(...c.received);
  const floor = Math.min(...c.received);
  const stories: Story[] = [];
  for (const side of ["ceiling", "floor", "both"] as const) {
    const predicted = c.reference.map((r) => {
      const raised = side === "ceiling" ? r : Math.max(floor, r);
      return side === "floor" ? raised : Math.min(ceiling, raised);
    });
    const steps = leftOver(c, predicted, c.printed);
    const cuts = predicted.reduce((sum, p, i) => sum + (Math.abs(p - c.reference[i]!) > c.printed[i]! ? 1 : 0), 0);
    if (cuts === 0 || cuts === n) continue;
    const limit = side === "floor" ? floor : ceiling;
    stories.push({
      kind: "clamped",
      bits: PRIOR.clamped + (side === "both" ? BITS_OF_BOTH_LIMITS : BITS_OF_A_LIMIT) + bitsOfLeftOver(steps),
      unexplained: count(steps),
      detail: side,
      cut: { count: cuts, at: limit, side: side === "floor" ? "floor" : "ceiling" },
    });
  }
  return stories;
}
