import { describe, expect, it } from "vitest";
import { seededRandom } from "../../base/index.ts";
import { shareOfSecond, trimFactorLn } from "./trim-law.ts";

describe("how two trims make one factor", () => {
  it("as a product: +5 % and +3 % are +8.15 % (PH-12a)", () => {
    // PH-12a of the formula sheet (common practice; the arithmetic is plain).
    expect(Math.exp(trimFactorLn(Float64Array.of(5), Float64Array.of(3), "product")[0]!)).toBeCloseTo(1.0815, 10);
  });

  it("as a sum: -20 and -15 % are -35 %, three points less than the product (PH-12d)", () => {
    const sum = Math.exp(trimFactorLn(Float64Array.of(-20), Float64Array.of(-15), "sum")[0]!);
    const product = Math.exp(trimFactorLn(Float64Array.of(-20), Float64Array.of(-15), "product")[0]!);
    expect(sum).toBeCloseTo(0.65, 10);
    expect(100 * (sum - product)).toBeCloseTo(-3, 10);
  });

  it("counts a missing long-term trim as none and a missing short-term one as unknown", () => {
    expect(trimFactorLn(Float64Array.of(5), Float64Array.of(Number.NaN), "sum")[0]).toBeCloseTo(Math.log(1.05), 12);
    expect(trimFactorLn(Float64Array.of(Number.NaN), Float64Array.of(5), "product")[0]).toBeNaN();
  });
});

describe("which law the pulse width follows", () => {
  const random = seededRandom(4);
  const n = 3000;
  // Two plateaus of the long-term trim, a short-term trim that swings, and pulses as rough as a rounded manifold pressure makes them.
  const short = Float64Array.from({ length: n }, (_, i) => -8 + 6 * Math.sin(i / 40) + random.normal());
  const long = Float64Array.from({ length: n }, (_, i) => (i < n / 2 ? -3 : -22));
  const product = trimFactorLn(short, long, "product");
  const sum = trimFactorLn(short, long, "sum");
  const rough = Float64Array.from({ length: n }, () => 0.006 + 0.025 * random.normal());
  const all = new Float64Array(n).fill(1);

  it("is told for either", () => {
    expect(
      shareOfSecond(
        sum.map((v, i) => v + rough[i]!),
        product,
        sum,
        all,
      ),
    ).toBeCloseTo(1, 0);
    expect(
      shareOfSecond(
        product.map((v, i) => v + rough[i]!),
        product,
        sum,
        all,
      ),
    ).toBeLessThan(0.3);
  });

  it("is not told where small trims make both alike, nor without a pulse", () => {
    const little = short.map((v) => v / 10);
    const few = trimFactorLn(
      little,
      little.map(() => 1),
      "product",
    );
    const same = trimFactorLn(
      little,
      little.map(() => 1),
      "sum",
    );
    expect(
      shareOfSecond(
        few.map((v, i) => v + rough[i]!),
        few,
        same,
        all,
      ),
    ).toBeNaN();
    expect(shareOfSecond(new Float64Array(n).fill(Number.NaN), product, sum, all)).toBeNaN();
  });
});
