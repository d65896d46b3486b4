import { expect, test } from "vitest";
import { runJob } from "../../src/core/job/index.ts";
import { makePacket } from "../../src/core/virtual-engine/index.ts";

test("without a recording a vehicle is not called healthy: the figures are how common faults are, and say so", () => {
  const { packet } = makePacket(3, { minutes: 2 });
  const { result } = runJob({ ...packet, recordings: [] }, {});
  const healthy = result.suspects.find(({ fault }) => fault === "healthy")!;
  expect(result.suspects.reduce((sum, { probability }) => sum + probability, 0)).toBeCloseTo(1, 9);
  expect(healthy.probability).toBeLessThan(0.5);
  expect(healthy.against[0]!.text).toContain("no recording");
  expect(result.suspects.every(({ for: speaksFor }) => speaksFor.length === 0)).toBe(true);
  expect(result.couldNot).toContain("nothing was diagnosed: the packet holds no recordings");
});
