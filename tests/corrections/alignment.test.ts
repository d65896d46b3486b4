import { describe, expect, it } from "vitest";
import { alignmentEvidence, alignmentSentence, observe } from "../../src/core/residuals/index.ts";
import { makePacket } from "../../src/core/virtual-engine/index.ts";
import { alignmentPictures } from "../../src/report/index.ts";

/** A vehicle with a wide-range sensor, its idle recording first. */
function evidenceOf(seed: number) {
  const { packet } = makePacket(seed, { minutes: 4 });
  const { asReceived, intake, recordings } = packet;
  return recordings.map((recording) => alignmentEvidence(observe(recording, asReceived, intake))).filter((evidence) => evidence !== undefined);
}

describe("what shows that the exhaust measurement was moved right", () => {
  const all = [3, 8, 11].flatMap(evidenceOf);

  it("has evidence where a wide-range sensor was read", () => {
    expect(all.length).toBeGreaterThan(1);
  });

  it("leaves less of the quick swing moved back than as logged, and least about the delay in use", () => {
    for (const { tried, delayS, leftAsLogged, leftMovedBack, alignment } of all) {
      if (alignment.source !== "estimated") continue;
      expect(leftMovedBack).toBeLessThan(leftAsLogged);
      const least = tried.left.indexOf(Math.min(...tried.left));
      expect(Math.abs(tried.delayS[least]! - delayS)).toBeLessThan(0.35 * delayS);
    }
  });

  it("is told in a sentence with the delay and its interval, and drawn twice", () => {
    const [first] = all;
    expect(alignmentSentence(first!)).toMatch(/\d\.\d\d s .* at \d+ g\/s/);
    let next = 0;
    const pictures = alignmentPictures({ ...first!, caption: alignmentSentence(first!) }, () => `alignment-${next++}`);
    expect(pictures.map(({ kind }) => kind)).toEqual(["strip", "profile"]);
    for (const { svg } of pictures) expect(svg).not.toContain("NaN");
  });
});
