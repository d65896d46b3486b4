import { describe, expect, it } from "vitest";
import { isInfinite, isMissing, parseClock, parseNumber } from "./numbers.ts";

describe("numbers", () => {
  it.each([
    ["12.5", ".", 12.5],
    ["-0.25", ".", -0.25],
    ["+3", ".", 3],
    [".5", ".", 0.5],
    ["1e-3", ".", 0.001],
    ["12,5", ",", 12.5],
    ["1,234.5", ".", 1234.5],
    ["1.234,5", ",", 1234.5],
    ["1,234", ".", 1234],
    ["1.234", ",", 1234],
    ["12,345,678", ".", 12345678],
    ["1 234.5", ".", 1234.5],
    ["1'234", ".", 1234],
    ["12,5", ".", 12.5],
    ["0,445", ".", 0.445],
    ["12.5", ",", 12.5],
    ["45 %", ".", 45],
    ["88.99999734759331", ".", 88.99999734759331],
  ] as const)("%s with the mark %s", (text, decimal, value) => expect(parseNumber(text, decimal)).toBe(value));
  it.each(["", "abc", "1.2.3", "1,2,3", "12a", "--5", "1 2", "0x10", "12:30"])("%j is none", (text) => expect(parseNumber(text, ".")).toBeUndefined());
  it("knows what stands for no sample, and what for infinity", () => {
    for (const text of ["", "-", "NaN", "N/A", "#N/A", "null", "---"]) expect(isMissing(text)).toBe(true);
    for (const text of ["inf", "-Inf", "Infinity", "1.#INF"]) expect(isInfinite(text)).toBe(true);
    expect(isMissing("0")).toBe(false);
  });
});

describe("clock times", () => {
  it.each([
    ["00:00:01.250", 1.25],
    ["10:09:30,001", 36570.001],
    ["1:02:03", 3723],
    ["12:34.5", 754.5],
    ["10:09:30:125", 36570.125],
    ["01:00:00 PM", 46800],
    ["12:00:00 AM", 0],
    ["1970-01-02T00:00:01.5Z", 86401.5],
    ["1970-01-02 00:00:01", 86401],
    ["02.01.1970 00:00:01", 86401],
    ["1/13/1970 00:00:00", 12 * 86400],
  ])("%s", (text, seconds) => expect(parseClock(text)).toBeCloseTo(seconds, 9));
  it.each(["", "12", "12:75", "ab:cd", "2020-13"])("%j is none", (text) => expect(parseClock(text)).toBeUndefined());
});
