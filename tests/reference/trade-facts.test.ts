import { describe, expect, it } from "vitest";
import {
  blendAfr,
  CUSTOMARY_GASOLINE,
  injectorDutyFraction,
  injectorFlowRatio,
  observedVeFraction,
  orificeAreaMm2,
  orificeFlowGps,
  powerOfAirKw,
  stoichiometricAfr,
} from "../../src/core/physics/index.ts";
import { expectClose, rowById, rowsOf } from "./rows.ts";

// Common practice, no published source: data/trade-facts.csv and data/rules-of-thumb.csv say so row by row.
const facts = rowsOf("trade-facts.csv");
const rules = rowsOf("rules-of-thumb.csv");
const fact = (id: string): number => Number(rowById(facts, id).value);
const idle = { upstreamKpa: 100, downstreamKpa: 52, upstreamK: 298 };

describe("facts of the trade against the physics", () => {
  it("9.3 g/s at 800 rpm and 52 kPa in a 5.3 L engine is a VE of about 48 % (idle-air-cammed-v8, idle-ve-cammed-v8)", () => {
    const ve = observedVeFraction({ flowGps: fact("idle-air-cammed-v8"), rpm: 800, mapKpa: 52, chargeK: 330, displacementL: 5.3 });
    expectClose(100 * ve, fact("idle-ve-cammed-v8"), { absolute: 0.5 }); // the fact is given in whole percent
  });

  it("its factory table is far from it (idle-ve-factory-v8)", () => {
    expect(fact("idle-ve-factory-v8") / fact("idle-ve-cammed-v8")).toBeGreaterThan(1.3);
  });

  it("an air command well under the engine's leaves an opening unaccounted for (idle-air-too-low)", () => {
    const missing = orificeAreaMm2(fact("idle-air-cammed-v8") - fact("idle-air-too-low"), idle);
    expect(missing).toBeGreaterThan(15);
    expect(missing).toBeLessThan(25);
  });

  it("a leak fades with flow: 3 mm² is a large share of idle air and almost nothing at load (leak-sign)", () => {
    const atIdle = orificeFlowGps({ ...idle, areaMm2: 3 }) / fact("idle-air-cammed-v8");
    const atLoad = orificeFlowGps({ ...idle, downstreamKpa: 97, areaMm2: 3 }) / 250;
    expect(atIdle / atLoad).toBeGreaterThan(50);
  });

  it("gasoline without ethanol near 14.68 needs a hydrogen-rich hydrocarbon (stoich-e0)", () => {
    expectClose(stoichiometricAfr(CUSTOMARY_GASOLINE), fact("stoich-e0"), { absolute: 0.03 });
  });

  it("10 % ethanol in that gasoline gives about 14.1 (stoich-e10, RT-08)", () => {
    const ratio = blendAfr(0.1, CUSTOMARY_GASOLINE);
    expectClose(ratio, fact("stoich-e10"), { absolute: 0.05 });
    expectClose(ratio, Number(rowById(rules, "RT-08").typical), { absolute: 0.05 });
    expect(blendAfr(0.1)).toBeGreaterThan(Number(rowById(rules, "RT-08").low));
  });

  it("a returnless rail's flow table rises with vacuum, a manifold-referenced one is flat (returnless-flow-shape, RT-09)", () => {
    const row = rowById(rules, "RT-09");
    const ratio = injectorFlowRatio({ gaugeKpa: 400, reference: "atmosphere" }, 60);
    expectClose(ratio, Number(row.typical), { absolute: 0.001 });
    expect(injectorFlowRatio({ gaugeKpa: 400, reference: "manifold" }, 60)).toBe(1);
  });

  it("9 g/s of idle air is near 38 mm² choked (RT-13)", () => {
    expectClose(orificeAreaMm2(Number(rowById(rules, "RT-13").typical), { upstreamKpa: 100, downstreamKpa: 40, upstreamK: 298.15 }), 38.45, { relative: 1e-3 });
  });

  it("1 g/s of air carries about 1 kW (RT-28)", () => {
    expectClose(powerOfAirKw(1, { afrStoich: 14.08, lambda: 0.88, bsfcGPerKwh: 300 }), Number(rowById(rules, "RT-28").typical), { absolute: 0.01 });
  });

  it("85 % duty at 6000 rpm is 17 ms (RT-01)", () => {
    expectClose(100 * injectorDutyFraction(17, 6000), Number(rowById(rules, "RT-01").typical), { absolute: 1e-9 });
  });
});
