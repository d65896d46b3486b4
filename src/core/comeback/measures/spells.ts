import { median } from "../../../base/index.ts";
import type { MomentKind } from "../../moments/index.ts";
import type { Observations } from "../../residuals/index.ts";

/** Medians of a signal over each moment of a kind, its first two seconds left out; moments with fewer than five samples tell nothing. */
export function overMoments(o: Observations, kind: MomentKind, of: (i: number) => number): readonly number[] {
  return o.moments
    .filter((moment) => moment.kind === kind)
    .map((moment) => medianBetween(o, moment.fromS + 2, moment.toS, of))
    .filter((value) => !Number.isNaN(value));
}

/** Medians over each minute of the recording, of the samples that hold what is asked. */
export function overMinutes(o: Observations, of: (i: number) => number): readonly number[] {
  const minutes: number[] = [];
  for (let fromS = o.timeS[0] ?? 0; fromS < (o.timeS[o.n - 1] ?? 0); fromS += 60) minutes.push(medianBetween(o, fromS, fromS + 60, of));
  return minutes.filter((value) => !Number.isNaN(value));
}

const LEAST_SAMPLES = 5;

function medianBetween(o: Observations, fromS: number, toS: number, of: (i: number) => number): number {
  const first = Math.max(0, Math.ceil((fromS - o.timeS[0]!) / o.dtS));
  const last = Math.min(o.n - 1, Math.floor((toS - o.timeS[0]!) / o.dtS));
  const values: number[] = [];
  for (let i = first; i <= last; i++) {
    const value = of(i);
    if (!Number.isNaN(value)) values.push(value);
  }
  return values.length < LEAST_SAMPLES ? Number.NaN : median(values);
}
