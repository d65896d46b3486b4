/** Cells with this many independent samples count as driven here. */
const DRIVEN_FROM = 1;
const LEAST_CELLS = 3;

/** By how much the cells that were driven are asked to move, in words: the middle nine tenths. Empty where hardly any was driven. */
export function askedForInWords(ln: Float64Array, coverage: Float64Array, what: string): string {
  const moves = Array.from(ln)
    .filter((_, k) => coverage[k]! >= DRIVEN_FROM)
    .sort((a, b) => a - b);
  if (moves.length < LEAST_CELLS) return "";
  const at = (share: number): string => signedPercent(moves[Math.round(share * (moves.length - 1))]!);
  return ` The ${moves.length} ${what} driven move by ${at(0.05)} to ${at(0.95)} %, ${at(0.5)} % in the middle.`;
}

function signedPercent(ln: number): string {
  const text = (100 * Math.expm1(ln)).toFixed(1);
  return text === "0.0" || text === "-0.0" ? "0" : text.startsWith("-") ? `−${text.slice(1)}` : `+${text}`;
}
