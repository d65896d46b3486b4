import { bitsOfLeftOver, bitsOfPlaces, bitsOfRectangle } from "./code-length.ts";
import { type Comparison, cellsOf, leftOver, rectangleAround } from "./comparison.ts";
import type { Story } from "./story.ts";

const PRIOR = { spiked: 2, reshaped: 3 } as const;
/** Spikes are few: beyond this share of cells a table was worked over, not dotted. */
const LARGEST_SPIKED_SHARE = 0.25;
/** A redrawn surface moves cells that touch; when none does, it was hardly redrawn. */
const BITS_OF_REDRAWN_BUT_APART = 14;

/** Bits of a set of sizes in steps, their mean said once. */
function bitsOfSizes(steps: readonly number[]): number {
  if (steps.length === 0) return 0;
  return bitsOfLeftOver(steps) - bitsOfPlaces(steps.length, steps.length);
}

/** A few isolated cells, each named; and the last resort, every cell of the changed area told one by one. */
export function scatteredStories(c: Comparison): Story[] {
  const steps = leftOver(c, c.reference, c.printed);
  const n = steps.length;
  const sizes = c.changed.map((i) => Math.max(1, steps[i]!));
  const rectangle = rectangleAround(c.changed, c.columns);
  const inside = cellsOf(rectangle, c.columns);
  const isPart = inside.length < n;
  const stories: Story[] = [];
  const touching = c.changed.length - isolated(c).length;
  if (n > 2 && c.changed.length <= Math.max(1, Math.floor(LARGEST_SPIKED_SHARE * n)))
    stories.push({ kind: "spiked", bits: PRIOR.spiked + bitsOfPlaces(n, c.changed.length) + bitsOfSizes(sizes) + 3 * touching, unexplained: 0 });
  stories.push({
    kind: "reshaped",
    bits:
      PRIOR.reshaped +
      (touching === 0 && c.changed.length <= LARGEST_SPIKED_SHARE * n ? BITS_OF_REDRAWN_BUT_APART : 0) +
      (isPart ? bitsOfRectangle(c.rows, c.columns) : 0) +
      bitsOfPlaces(inside.length, c.changed.length) +
      smoothSizes(c, sizes),
    unexplained: 0,
    rectangle: isPart ? rectangle : undefined,
  });
  return stories;
}

/** Sizes of neighbouring cells resemble each other when a surface was redrawn: the cheaper of telling sizes or their differences. */
function smoothSizes(c: Comparison, sizes: readonly number[]): number {
  const differences = c.changed.map((cell) => {
    const before = cell % c.columns > 0 ? cell - 1 : cell - c.columns;
    const here = c.received[cell]! - c.reference[cell]!;
    const there = before >= 0 ? c.received[before]! - c.reference[before]! : 0;
    return Math.round((here - there) / c.step);
  });
  return Math.min(bitsOfSizes(sizes), 1 + bitsOfLeftOver(differences));
}

/** Changed cells none of whose four neighbours changed. */
function isolated(c: Comparison): number[] {
  const changed = new Set(c.changed);
  return c.changed.filter((cell) => {
    const column = cell % c.columns;
    return !(
      (column > 0 && changed.has(cell - 1)) ||
      (column < c.columns - 1 && changed.has(cell + 1)) ||
      changed.has(cell - c.columns) ||
      changed.has(cell + c.columns)
    );
  });
}
