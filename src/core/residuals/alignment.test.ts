import { expect, test } from "vitest";
import { seededRandom } from "../../base/index.ts";
import { estimateAlignment } from "./alignment.ts";
import { HANDBOOK_ALIGNMENT } from "./observe.ts";
import { firstOrderLag } from "./smoothing.ts";

const dtS = 0.05;
const n = 12_000;

/** A recording whose trims wander as a loop makes them, read after a known delay and lag; the sum is its own reference. */
function made(truth: { fixedS: number; perFlowG: number; lagS: number }, ripple: number, seed: number) {
  const random = seededRandom(seed);
  const flowGps = Float64Array.from({ length: n }, (_, i) => 5 + 30 * (0.5 + 0.5 * Math.sin(i / 700)));
  let trim = 0;
  const commandLn = Float64Array.from({ length: n }, () => {
    trim = 0.97 * trim + ripple * random.normal();
    return -trim;
  });
  const lagged = firstOrderLag(commandLn, truth.lagS, dtS);
  const lambdaRaw = new Float64Array(n).fill(Number.NaN);
  for (let i = 0; i < n; i++) {
    const arrives = i + Math.round((truth.fixedS + truth.perFlowG / flowGps[i]!) / dtS);
    if (arrives < n) lambdaRaw[arrives] = Math.exp(lagged[i]! + 0.03 * Math.sin(i / 2000) + 0.004 * random.normal());
  }
  for (let i = 1; i < n; i++) if (Number.isNaN(lambdaRaw[i]!)) lambdaRaw[i] = lambdaRaw[i - 1]!;
  return { dtS, lambdaRaw, commandLn, flowGps, usable: lambdaRaw.map((v) => (v > 0 ? 1 : 0)) };
}

/** Delay that matters: over the flows that were driven. */
const delayAt = (alignment: { readonly fixedS: number; readonly perFlowG: number }, flow: number): number => alignment.fixedS + alignment.perFlowG / flow;

test("finds the delay and lag that a recording was made with", () => {
  const truths: readonly { readonly fixedS: number; readonly perFlowG: number; readonly lagS: number }[] = [
    { fixedS: 0.1, perFlowG: 1.6, lagS: 0.06 },
    { fixedS: 0.05, perFlowG: 0.8, lagS: 0.12 },
  ];
  for (const [i, truth] of truths.entries()) {
    const found = estimateAlignment(made(truth, 0.01, i + 1), HANDBOOK_ALIGNMENT);
    expect(found.source).toBe("estimated");
    // Delay and lag trade against each other: their sum is what moves samples. Half a sample of the clock is as well as can be known.
    for (const flow of [6, 15, 30]) expect(Math.abs(delayAt(found, flow) + found.lagS - delayAt(truth, flow) - truth.lagS)).toBeLessThan(dtS);
  }
});

test("a recording without movement gives the handbook back", () => {
  const still = made({ fixedS: 0.1, perFlowG: 1.6, lagS: 0.06 }, 0, 3);
  expect(estimateAlignment(still, HANDBOOK_ALIGNMENT).source).toBe("handbook");
  expect(estimateAlignment({ ...still, usable: new Float64Array(n) }, HANDBOOK_ALIGNMENT)).toEqual(HANDBOOK_ALIGNMENT);
});
