/** A stream of random numbers that a seed fixes: the same seed gives the same stream on every machine. */
export interface Random {
  /** Uniform in [0, 1). */
  uniform(): number;
  /** Uniform in [low, high). */
  between(low: number, high: number): number;
  /** Whole number in [low, high], both included. */
  whole(low: number, high: number): number;
  /** Standard normal (polar method). */
  normal(): number;
  /** True with the given probability. */
  chance(probability: number): boolean;
  /** One of the items, all equally likely. */
  pick<T>(items: readonly T[]): T;
}

/** Seeded generator, xoshiro128** over 32-bit words seeded by splitmix. Source: Blackman and Vigna 2018 (from memory). */
export function seededRandom(seed: number): Random {
  let mix = seed >>> 0;
  const next32 = (): number => {
    mix = (mix + 0x9e3779b9) >>> 0;
    let z = mix;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return (z ^ (z >>> 16)) >>> 0;
  };
  let [a, b, c, d] = [next32(), next32(), next32(), next32()];
  const rotl = (x: number, k: number): number => ((x << k) | (x >>> (32 - k))) >>> 0;
  const word = (): number => {
    const result = Math.imul(rotl(Math.imul(b, 5) >>> 0, 7), 9) >>> 0;
    const t = (b << 9) >>> 0;
    c = (c ^ a) >>> 0;
    d = (d ^ b) >>> 0;
    b = (b ^ c) >>> 0;
    a = (a ^ d) >>> 0;
    c = (c ^ t) >>> 0;
    d = rotl(d, 11);
    return result;
  };
  const uniform = (): number => ((word() >>> 5) * 67108864 + (word() >>> 6)) / 9007199254740992;
  let spare = Number.NaN;
  const normal = (): number => {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = Number.NaN;
      return kept;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const s = u * u + v * v;
      if (s === 0 || s >= 1) continue;
      const scale = Math.sqrt((-2 * Math.log(s)) / s);
      spare = v * scale;
      return u * scale;
    }
  };
  return {
    uniform,
    normal,
    between: (low, high) => low + (high - low) * uniform(),
    whole: (low, high) => low + Math.floor((high - low + 1) * uniform()),
    chance: (probability) => uniform() < probability,
    pick: (items) => {
      if (items.length === 0) throw new RangeError("pick from an empty list");
      return items[Math.floor(uniform() * items.length)]!;
    },
  };
}
