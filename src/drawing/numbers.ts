/** A number with a true minus sign and so many decimals; an en dash where there is none. */
export function formatNumber(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return "–";
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `−${text}` : text;
}

/** A number with its sign; zero has none. */
export function formatSigned(value: number, decimals: number): string {
  const text = formatNumber(value, decimals);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}

/** Decimals that show so many significant figures of a size. */
export function decimalsFor(size: number, figures = 3): number {
  const magnitude = Math.abs(size);
  if (!Number.isFinite(magnitude) || magnitude === 0) return 0;
  return Math.min(6, Math.max(0, figures - 1 - Math.floor(Math.log10(magnitude))));
}

/** A value with the half-width of its interval, no more digits than that supports: "9.3 ± 0.2". */
export function formatWithInterval(value: number, halfWidth: number): string {
  if (!(halfWidth > 0) || !Number.isFinite(halfWidth)) return formatNumber(value, decimalsFor(value));
  const first = halfWidth / 10 ** Math.floor(Math.log10(halfWidth));
  const decimals = decimalsFor(halfWidth, first < 1.95 ? 2 : 1);
  return `${formatNumber(value, decimals)} ± ${formatNumber(halfWidth, decimals)}`;
}

/** Decimals by which all of the values can be told as they are written in a table, at most `most`. */
export function decimalsOf(values: ArrayLike<number>, most = 3): number {
  let largest = 0;
  for (let i = 0; i < values.length; i++) if (Number.isFinite(values[i]!)) largest = Math.max(largest, Math.abs(values[i]!));
  const enough = Math.min(most, largest >= 1000 ? 0 : largest >= 100 ? 1 : largest >= 10 ? 2 : 3);
  for (let decimals = 0; decimals < enough; decimals++) if (everyExact(values, decimals)) return decimals;
  return enough;
}

function everyExact(values: ArrayLike<number>, decimals: number): boolean {
  const factor = 10 ** decimals;
  for (let i = 0; i < values.length; i++) {
    const scaled = values[i]! * factor;
    if (Number.isFinite(scaled) && Math.abs(scaled - Math.round(scaled)) > 1e-6 * Math.max(1, Math.abs(scaled))) return false;
  }
  return true;
}
