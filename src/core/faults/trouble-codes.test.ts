import { expect, test } from "vitest";
import { codeEvidence, TROUBLE_CODES } from "./trouble-codes.ts";

test("a code that fits one story says more about it than one that fits five", () => {
  const narrow = codeEvidence(["P0087"])[0]!;
  const wide = codeEvidence([" p0171 "]).find((e) => e.fault === "fuel.delivery-low")!;
  expect(narrow.fault).toBe("fuel.delivery-low");
  expect(narrow.logRatio).toBeGreaterThan(wide.logRatio);
  expect(wide.logRatio).toBeGreaterThan(0);
});

test("unknown codes and none at all say nothing", () => {
  expect(codeEvidence(undefined)).toEqual([]);
  expect(codeEvidence(["P9999", ""])).toEqual([]);
});

test("codes are sorted, unique and of five characters", () => {
  const codes = TROUBLE_CODES.map((c) => c.code);
  expect(codes).toEqual([...new Set(codes)].sort());
  for (const code of codes) expect(code).toMatch(/^[PBCU]\d{4}$/);
});
