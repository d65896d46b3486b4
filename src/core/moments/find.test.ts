import { expect, test } from "vitest";
import { findMoments, MOMENT_KINDS, MOMENTS, type MomentInput } from "./index.ts";

const DT_S = 0.1;

/** A made-up run of 120 s: rest, crank, cold then warm idle, tip-in, cruise, shift, full load, overrun with fuel cut. */
function madeUpRun(missing: readonly (keyof MomentInput)[] = []): MomentInput {
  const n = 1200;
  const at = (value: (s: number) => number): Float64Array => Float64Array.from({ length: n }, (_, i) => value(i * DT_S));
  const driving = (s: number): boolean => s >= 50 && s < 115;
  const input: MomentInput = {
    timeS: at((s) => s),
    dtS: DT_S,
    rpm: at((s) =>
      s < 2 ? 0 : s < 3 ? 200 : s < 50 ? 750 : s < 80 ? 2000 : s < 82 ? 2000 : s < 100 ? 1500 : s < 108 ? 3500 + (s - 100) * 200 : 2500 - (s - 108) * 100,
    ),
    mapKpa: at((s) => (s < 3 ? 100 : s < 50 ? 38 : s < 100 ? 60 : s < 108 ? 98 : 22)),
    baroKpa: at(() => 100),
    throttlePercent: at((s) => (s < 50 ? 5 : s < 50.4 ? 5 + (s - 50) * 50 : s < 100 ? 25 : s < 108 ? 95 : 4)),
    pedalPercent: at((s) => (s < 50 || s >= 108 ? 0 : s < 100 ? 20 : 100)),
    vssKmh: at((s) => (driving(s) ? 60 : 0)),
    ectC: at((s) => Math.min(90, 20 + 3 * s)),
    injMs: at((s) => (s < 2 || s >= 108 ? 0 : 3)),
    lambda: at((s) => (s >= 108 ? 2 : 1)),
    gear: at((s) => (s < 80 ? 2 : 3)),
    idleTargetRpm: at(() => 750),
  };
  const blank = new Float64Array(n).fill(Number.NaN);
  return { ...input, ...Object.fromEntries(missing.map((name) => [name, blank])) };
}

test("every kind has one definition, in order of id", () => {
  expect(MOMENTS.map((m) => m.kind)).toEqual([...MOMENT_KINDS].sort());
});

test("each kind is found where the run has it", () => {
  const moments = findMoments(madeUpRun());
  const first = (kind: string) => moments.find((m) => m.kind === kind);
  expect(first("crank")).toMatchObject({ fromS: 2 });
  expect(first("warm-up")?.toS).toBeLessThan(19);
  expect(first("warm-idle")?.fromS).toBeGreaterThan(16);
  expect(first("tip-in")?.fromS).toBeCloseTo(49.4, 0);
  expect(first("cruise")?.fromS).toBeGreaterThan(50);
  expect(first("shift")?.fromS).toBeCloseTo(79.7, 1);
  expect(first("full-load")?.fromS).toBeCloseTo(100, 0);
  expect(first("fuel-cut")?.fromS).toBeCloseTo(108, 0);
});

test("an engine that dies is not cranking", () => {
  const run = madeUpRun();
  const rpm = run.rpm.map((_, i) => (i < 600 ? 800 : Math.max(0, 800 - (i - 600) * 40)));
  expect(findMoments({ ...run, rpm }).filter((m) => m.kind === "crank")).toEqual([]);
});

test("missing signals leave the other kinds standing and never crash", () => {
  const moments = findMoments(madeUpRun(["pedalPercent", "injMs", "gear", "idleTargetRpm", "vssKmh", "ectC", "baroKpa"]));
  for (const kind of ["crank", "warm-idle", "cruise", "fuel-cut", "full-load"]) expect(moments.some((m) => m.kind === kind)).toBe(true);
  expect(findMoments(madeUpRun(["rpm"])).filter((m) => m.kind !== "shift")).toEqual([]);
});
