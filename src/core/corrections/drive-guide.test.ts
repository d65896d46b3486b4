import { describe, expect, test } from "vitest";
import type { Observations } from "../residuals/index.ts";
import { grid } from "../tables/index.ts";
import type { CorrectionProposal } from "./define.ts";
import { driveGuide, driveGuideSheet } from "./drive-guide.ts";

const rpm = [800, 1200, 1600, 2000, 2400, 2800, 3200];
const kpa = [30, 45, 60, 75, 90, 100];
const table = grid(
  "air.ve",
  "%",
  rpm,
  kpa,
  kpa.map(() => rpm.map(() => 80)),
);

function proposal(sd: (rpm: number, kpa: number) => number): CorrectionProposal {
  const cells = table.cells.length;
  return {
    role: "air.ve",
    before: table,
    after: table,
    sd: Float64Array.from({ length: cells }, (_, k) => sd(rpm[k % rpm.length]!, kpa[Math.floor(k / rpm.length)]!)),
    sdKind: "relative",
    coverage: new Float64Array(cells),
    cellsChanged: 0,
    cellsCovered: 0,
    meanAbsChangePercent: 0,
    limited: [],
    why: "",
  };
}

/** A drive that is everywhere alike. */
function drive(): Observations {
  const at = rpm.flatMap((speed) => kpa.flatMap((pressure) => Array.from({ length: 10 }, () => ({ speed, pressure }))));
  const fill = (value: number) => new Float64Array(at.length).fill(value);
  const known = { n: at.length, dtS: 1, rpm: Float64Array.from(at, ({ speed }) => speed), mapKpa: Float64Array.from(at, ({ pressure }) => pressure) };
  return { ...known, baroKpa: fill(100), steadiness: fill(1) } as unknown as Observations;
}

const vehicle = { gearRatios: [3.6, 2.1, 1.4, 1, 0.8], axleRatio: 3.9, tireRevsPerKm: 520 };
const intake = { engine: { displacementL: 2, cylinders: 4 }, vehicle };

describe("drive guide", () => {
  test("sends the driver first to where doubt is large, and says it in words", () => {
    const guide = driveGuide({ proposals: [proposal((n, p) => (n === 2400 && p === 60 ? 0.08 : 0.008))], observations: [drive()], intake })!;
    const first = guide.visits[0]!;
    expect(first.fromRpm).toBeLessThanOrEqual(2400);
    expect(first.toRpm).toBeGreaterThanOrEqual(2400);
    expect(first.load).toBe("half load");
    expect(first.words).toMatch(/^2,200–2,600 rpm, half load, on a gentle climb in \w+, \d+ s$/);
    expect(guide.expectedDoubtPercent).toBeLessThan(guide.doubtPercent);
  });

  test("never overrun, never a labouring engine at load, no region twice", () => {
    const guide = driveGuide({ proposals: [proposal(() => 0.05)], observations: [drive()], intake, count: 12 })!;
    for (const visit of guide.visits) {
      if (visit.toKpa < 36) expect(visit.fromRpm).toBeLessThan(1500);
      if (visit.fromKpa >= 70) expect(visit.toRpm).toBeGreaterThanOrEqual(1200);
    }
    expect(new Set(guide.visits.map(({ fromRpm, load }) => `${fromRpm} ${load}`)).size).toBe(guide.visits.length);
    expect(guide.cautions.length).toBeGreaterThan(0);
  });

  test("without ratios it still says speed and load; without a VE table there is no guide", () => {
    const guide = driveGuide({ proposals: [proposal(() => 0.05)], observations: [drive()], intake: { engine: intake.engine } })!;
    expect(guide.visits[0]!.gear).toBeUndefined();
    expect(driveGuide({ proposals: [], observations: [drive()], intake })).toBeUndefined();
  });

  test("the sheet has one line a visit, in order", () => {
    const guide = driveGuide({ proposals: [proposal(() => 0.05)], observations: [drive()], intake })!;
    const lines = driveGuideSheet(guide).split("\n");
    guide.visits.forEach((visit, k) => {
      expect(lines[k + 1]).toContain(visit.words);
      expect(lines[k + 1]!.startsWith(`${k + 1},`)).toBe(true);
    });
  });
});
