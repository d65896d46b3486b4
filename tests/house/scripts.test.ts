import { describe, expect, test } from "vitest";
import { findChromium } from "../../scripts/chromium.mjs";
import { isNodeNewEnough } from "../../scripts/ensure.mjs";
import { countTests } from "../../tools/count-tests.mjs";

describe("set-up", () => {
  test.each([
    ["18.20.4", false],
    ["20.18.3", false],
    ["20.19.0", true],
    ["21.7.3", false],
    ["22.11.0", false],
    ["22.12.0", true],
    ["23.0.0", true],
    ["24.1.0", true],
    ["26.0.0", true],
  ])("Node %s is new enough: %s", (version, expected) => {
    expect(isNodeNewEnough(version)).toBe(expected);
  });

  test("a browser named by hand goes first, and one that is not there is said", () => {
    expect(findChromium({ CHROMIUM_PATH: process.execPath }, "linux")).toBe(process.execPath);
    expect(() => findChromium({ CHROMIUM_PATH: "/no/such/browser" }, "linux")).toThrow("CHROMIUM_PATH=/no/such/browser is not an executable file");
    expect(findChromium({ PATH: "/nowhere" }, "win32")).toBeUndefined();
  });
});

describe("the count of tests", () => {
  const file = (status: string, ...tests: string[]) => ({ status, assertionResults: tests.map((each) => ({ status: each })) });

  test("adds up over files", () => {
    const report = { testResults: [file("passed", "passed", "passed"), file("failed", "passed", "failed", "failed")] };
    expect(countTests(report)).toEqual({ passed: 3, failed: 2 });
  });

  test("counts a file that could not be loaded as one failure", () => {
    expect(countTests({ testResults: [file("failed"), file("failed", "passed")] })).toEqual({ passed: 1, failed: 2 });
  });
});
