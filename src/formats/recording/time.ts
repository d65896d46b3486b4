/** A time base: seconds from the first row, strictly ascending, and the rows that it keeps, in order. */
export interface TimeBase {
  readonly timeS: Float64Array;
  /** Row of the file for each kept row; undefined when all are kept in file order. */
  readonly order: Int32Array | undefined;
  /** Rows that share a time with the kept row before: their samples fill its blanks. Pairs of [kept row, row merged in]. */
  readonly merged: readonly (readonly [number, number])[];
  readonly repairs: readonly string[];
}

const DAY_S = 86400;

/** Typical step: median of the positive differences [s]; NaN when there is none. */
export function typicalStep(raw: Float64Array): number {
  const steps: number[] = [];
  const stride = Math.max(1, Math.floor(raw.length / 4000));
  for (let i = 0; i + 1 < raw.length; i += stride) {
    const step = raw[i + 1]! - raw[i]!;
    if (step > 0) steps.push(step);
  }
  steps.sort((a, b) => a - b);
  return steps.length === 0 ? Number.NaN : steps[Math.floor(steps.length / 2)]!;
}

/** Unit of a bare number column of times, by the size of its steps: recorders take 0.5 to 1000 samples a second. */
export function unitOfTime(raw: Float64Array): { unit: string; scale: number; isSure: boolean } {
  const step = typicalStep(raw);
  if (!(step > 0)) return { unit: "s", scale: 1, isSure: false };
  if (step < 1.2e-3 / 60) return { unit: "days", scale: DAY_S, isSure: true };
  if (step <= 3) return { unit: "s", scale: 1, isSure: step < 1.5 };
  if (step <= 3000) return { unit: "ms", scale: 0.001, isSure: true };
  return { unit: "µs", scale: 1e-6, isSure: true };
}

/** Makes raw seconds strictly ascending and says what that took: midnight, resets of the clock, swapped and repeated rows. */
export function makeTimeBase(rawS: Float64Array, isClock: boolean): TimeBase {
  const repairs: string[] = [];
  if (isAscending(rawS)) return { timeS: rawS.map((value) => value - rawS[0]!), order: undefined, merged: [], repairs };
  const rows: number[] = [];
  for (let i = 0; i < rawS.length; i++) if (Number.isFinite(rawS[i]!)) rows.push(i);
  const lost = rawS.length - rows.length;
  if (lost > 0) repairs.push(`${lost} row${lost === 1 ? "" : "s"} without a time: left out`);
  const seconds = Float64Array.from(rows, (i) => rawS[i]!);
  unwrap(seconds, isClock, repairs);
  const order = sortSwaps(seconds, repairs);
  const sorted = order === undefined ? seconds : Float64Array.from(order, (i) => seconds[i]!);
  const rowOf = (i: number): number => rows[order === undefined ? i : order[i]!]!;
  const { kept, merged } = spreadOrMerge(sorted, repairs);
  const startS = kept.length === 0 ? 0 : sorted[kept[0]!]!;
  const isUntouched = lost === 0 && order === undefined && kept.length === rawS.length;
  return {
    timeS: Float64Array.from(kept, (i) => sorted[i]! - startS),
    order: isUntouched ? undefined : Int32Array.from(kept, rowOf),
    merged: merged.map(([to, from]) => [to, rowOf(from)] as const),
    repairs,
  };
}

function isAscending(seconds: Float64Array): boolean {
  for (let i = 0; i < seconds.length; i++) if (!Number.isFinite(seconds[i]!) || (i > 0 && !(seconds[i]! > seconds[i - 1]!))) return false;
  return true;
}

/** Takes out midnight (a fall of nearly a day on a clock) and restarts of the recorder (a fall to near its start). */
function unwrap(seconds: Float64Array, isClock: boolean, repairs: string[]): void {
  const step = typicalStep(seconds) || 0.1;
  let shift = 0;
  let midnights = 0;
  let resets = 0;
  let resetAt = 0;
  let last = Number.NaN;
  const origin = seconds[0] ?? 0;
  for (let i = 0; i < seconds.length; i++) {
    const raw = seconds[i]!;
    if (!Number.isNaN(last) && raw < last) {
      const fall = last - raw;
      if (isClock && fall > DAY_S / 2 && fall <= DAY_S) {
        shift += DAY_S;
        midnights++;
      } else if (isReset(fall, raw - origin, step) && !returnsSoon(seconds, i, last)) {
        if (resets === 0) resetAt = last + shift - origin;
        shift += fall + step;
        resets++;
      }
    }
    last = raw;
    seconds[i] = raw + shift;
  }
  if (midnights > 0) repairs.push("clock passes midnight: carried on into the next day");
  if (resets > 0)
    repairs.push(
      `clock set back ${resets} time${resets === 1 ? "" : "s"}, first at ${resetAt.toFixed(2)} s: what follows is put right after, the true gap is not known`,
    );
}

/** A fall of many steps, or one right back to the start: the recorder began anew. Less is a pair of rows in the wrong order. */
function isReset(fall: number, sinceOrigin: number, step: number): boolean {
  return fall > Math.max(20 * step, 2) || (fall > 3.5 * step && Math.abs(sinceOrigin) < 1.5 * step);
}

/** True when the clock is back above `level` within a few rows: a stray stamp, not a reset. */
function returnsSoon(seconds: Float64Array, from: number, level: number): boolean {
  for (let i = from; i < Math.min(from + 6, seconds.length); i++) if (seconds[i]! >= level) return true;
  return false;
}

function sortSwaps(seconds: Float64Array, repairs: string[]): number[] | undefined {
  let swapped = 0;
  let firstAt = 0;
  for (let i = 1; i < seconds.length; i++)
    if (seconds[i]! < seconds[i - 1]!) {
      if (swapped === 0) firstAt = seconds[i]! - seconds[0]!;
      swapped++;
    }
  if (swapped === 0) return undefined;
  repairs.push(`time runs backwards in ${swapped} row${swapped === 1 ? "" : "s"}, first at ${firstAt.toFixed(2)} s: rows sorted by time`);
  return Array.from(seconds.keys()).sort((a, b) => seconds[a]! - seconds[b]! || a - b);
}

/** Rows of one stamp: where stamps repeat as a habit the clock is coarse and rows are spread between stamps, else they are merged. */
function spreadOrMerge(seconds: Float64Array, repairs: string[]): { kept: number[]; merged: [number, number][] } {
  let repeats = 0;
  for (let i = 1; i < seconds.length; i++) if (seconds[i] === seconds[i - 1]) repeats++;
  const all = Array.from(seconds.keys());
  if (repeats === 0) return { kept: all, merged: [] };
  const distinct = seconds.length - repeats;
  if (repeats > 0.2 * seconds.length && distinct > 2) {
    const even = seconds.slice();
    spread(even);
    if (!isAscending(even)) return merge(seconds, repeats, repairs);
    seconds.set(even);
    repairs.push(`the clock is coarser than the rows (${repeats} of ${seconds.length} repeat the time before): rows spread evenly between its ticks`);
    return { kept: all, merged: [] };
  }
  return merge(seconds, repeats, repairs);
}

function merge(seconds: Float64Array, repeats: number, repairs: string[]): { kept: number[]; merged: [number, number][] } {
  const kept: number[] = [];
  const merged: [number, number][] = [];
  for (let i = 0; i < seconds.length; i++)
    if (i > 0 && seconds[i] === seconds[kept.at(-1)!]) merged.push([kept.length - 1, i]);
    else kept.push(i);
  repairs.push(`${repeats} row${repeats === 1 ? " repeats" : "s repeat"} the time of the row before: joined with it, the first value kept`);
  return { kept, merged };
}

function spread(seconds: Float64Array): void {
  const n = seconds.length;
  let tick = typicalStep(seconds);
  for (let from = 0; from < n; ) {
    let to = from;
    while (to < n && seconds[to] === seconds[from]) to++;
    const start = seconds[from]!;
    if (to < n) tick = Math.min(seconds[to]! - start, tick * 4);
    for (let i = from; i < to; i++) seconds[i] = start + (tick * (i - from)) / (to - from);
    from = to;
  }
}
