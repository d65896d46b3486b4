import type { Random } from "../../base/index.ts";

const SIZE = 4096;

/** Standard normal numbers out of a shuffled table: a sensor needs millions of them and none needs deep tails. */
export function fastNormal(random: Random): () => number {
  const table = Float64Array.from({ length: SIZE }, () => random.normal());
  // The table itself has mean 0 and variance 1, so that a long recording is not biased by the draw.
  const mean = table.reduce((a, b) => a + b, 0) / SIZE;
  const deviation = Math.sqrt(table.reduce((a, b) => a + (b - mean) ** 2, 0) / SIZE);
  for (let i = 0; i < SIZE; i++) table[i] = (table[i]! - mean) / deviation;
  let word = random.whole(1, 2 ** 30);
  return () => {
    word = (Math.imul(word, 1664525) + 1013904223) >>> 0;
    return table[word >>> 20]!;
  };
}
