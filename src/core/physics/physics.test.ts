import fc from "fast-check";
import { describe, expect, it } from "vitest";
import * as physics from "./index.ts";

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const close = (actual: number, wanted: number, relative = 1e-12): void => {
  expect(Math.abs(actual - wanted)).toBeLessThanOrEqual(relative * Math.abs(wanted) + 1e-300);
};

const engine = fc.record({ displacementL: between(0.6, 8), rpm: between(300, 9000), mapKpa: between(15, 250), chargeK: between(230, 400) });

describe("air", () => {
  it("goes from the meter to VE and back to the meter's air", () => {
    fc.assert(
      fc.property(engine, between(0.1, 800), (at, flowGps) => {
        close(physics.speedDensityGps({ ...at, veFraction: physics.observedVeFraction({ ...at, flowGps }) }), flowGps);
      }),
    );
  });

  it("is the same by cylinder and by displacement", () => {
    fc.assert(
      fc.property(engine, between(0.2, 1.2), fc.integer({ min: 1, max: 12 }), (at, veFraction, cylinders) => {
        const airG = physics.airPerCylinderG({ ...at, veFraction, cylinderL: at.displacementL / cylinders });
        const flowGps = physics.engineAirflowGps(airG, { cylinders, rpm: at.rpm });
        close(flowGps, physics.speedDensityGps({ ...at, veFraction }));
        close(physics.airPerCylinderFromFlowG(flowGps, { cylinders, rpm: at.rpm }), airG);
      }),
    );
  });

  it("is unknown where an input is unknown", () => {
    expect(physics.speedDensityGps({ veFraction: Number.NaN, mapKpa: 50, chargeK: 300, displacementL: 2, rpm: 800 })).toBeNaN();
    expect(physics.orificeFlowGps({ areaMm2: 10, upstreamKpa: 100, downstreamKpa: Number.NaN, upstreamK: 300 }, 0.95)).toBeNaN();
  });
});

describe("flow through an opening", () => {
  const opening = fc.record({ areaMm2: between(0.1, 4000), upstreamKpa: between(60, 250), upstreamK: between(240, 380) });

  it("never rises with downstream pressure, with and without the straight end", () => {
    fc.assert(
      fc.property(opening, between(0, 1.2), between(0, 1.2), fc.constantFrom(0.9, 0.95, 1), (at, a, b, linearAbove) => {
        const flow = (ratio: number) => physics.orificeFlowGps({ ...at, downstreamKpa: ratio * at.upstreamKpa }, linearAbove);
        expect(flow(Math.min(a, b))).toBeGreaterThanOrEqual(flow(Math.max(a, b)) * (1 - 1e-12));
      }),
    );
  });

  it("is continuous at the critical ratio and where the line begins, for any gas", () => {
    fc.assert(
      fc.property(between(1.2, 1.667), between(0.9, 0.99), (heatRatio, linearAbove) => {
        const critical = physics.criticalPressureRatio(heatRatio);
        close(physics.flowNumber(critical * (1 + 1e-9), heatRatio), physics.chokedFlowNumber(heatRatio), 1e-8);
        close(physics.linearisedFlowNumber(linearAbove + 1e-12, linearAbove, heatRatio), physics.flowNumber(linearAbove, heatRatio), 1e-8);
      }),
    );
    expect(physics.linearisedFlowNumber(1)).toBe(0);
    expect(physics.linearisedFlowNumber(1.05)).toBe(0);
  });

  it("gives back the area it was computed from", () => {
    fc.assert(
      fc.property(opening, between(0.1, 0.999), (at, ratio) => {
        const state = { upstreamKpa: at.upstreamKpa, upstreamK: at.upstreamK, downstreamKpa: ratio * at.upstreamKpa };
        close(physics.orificeAreaMm2(physics.orificeFlowGps({ ...at, ...state }), state), at.areaMm2);
      }),
    );
  });
});

describe("torque and power", () => {
  it("agree in metric and in trade units", () => {
    fc.assert(
      fc.property(between(1, 3000), between(200, 12_000), (torque, rpm) => {
        const kw = physics.powerKw(torque, rpm);
        close(physics.torqueNm(kw, rpm), torque);
        close(kw / physics.KW_PER_HP, ((torque / physics.NM_PER_LBFT) * rpm) / physics.LBFT_RPM_PER_HP, 1e-10);
        // bmep times displacement times cycles a second is power
        close((physics.bmepKpa(torque, 2) * 2 * rpm) / 120 / 1000, kw);
      }),
    );
  });

  it("of a roller are the same by force and by kinetic energy", () => {
    fc.assert(
      fc.property(between(500, 4000), between(30, 200), between(0.1, 6), (massKg, kmh, acceleration) => {
        const stepS = 1e-4;
        const half = (acceleration * stepS * 3.6) / 2;
        close(
          physics.energyPowerKw(massKg, { fromKmh: kmh - half, toKmh: kmh + half, timeS: stepS }),
          physics.forcePowerKw(massKg * acceleration, kmh),
          1e-7, // difference of two nearly equal squares
        );
      }),
    );
  });
});

describe("fuel", () => {
  it("a pulse delivers the fuel it was computed from", () => {
    fc.assert(
      fc.property(between(1, 200), between(0.5, 30), between(0, 3), (fuelMg, flowGps, deadTimeMs) => {
        close(physics.fuelOfPulseMg(physics.commandedPulseMs(fuelMg, { flowGps, deadTimeMs }), { flowGps, deadTimeMs }), fuelMg, 1e-10);
      }),
    );
    expect(physics.fuelOfPulseMg(0.3, { flowGps: 4, deadTimeMs: 0.9 })).toBe(0);
  });

  it("trims compose: the logarithm of the total is the sum", () => {
    fc.assert(
      fc.property(between(-0.5, 0.5), between(-0.5, 0.5), (short, long) => {
        expect(Math.abs(Math.log1p(physics.totalTrimFraction(short, long)) - physics.trimLn(short, long))).toBeLessThan(1e-12);
      }),
    );
  });

  it("a blend's ratio is the ratio of the blend's own formula", () => {
    fc.assert(
      fc.property(between(0, 1), (volume) => {
        close(physics.blendAfr(volume), physics.stoichiometricAfr(physics.blendFormula(volume)), 1e-10);
      }),
    );
  });

  it("the inverse of the wall film gives the cylinder what it wants", () => {
    fc.assert(
      fc.property(between(0.5, 5), between(0, 2), between(0, 0.9), between(0.05, 5), (wanted, filmG, shareFraction, timeS) => {
        const film = { shareFraction, timeS };
        const { cylinderGps } = physics.filmFlows(physics.injectedForCylinderGps(wanted, filmG, film), filmG, film);
        expect(Math.abs(cylinderGps - wanted)).toBeLessThan(1e-9 * (wanted + filmG / timeS));
      }),
    );
  });
});

describe("lags, manifold, driveline", () => {
  it("many small steps of a lag are one large one", () => {
    fc.assert(
      fc.property(between(0.01, 1), between(0.01, 1), fc.integer({ min: 1, max: 50 }), (lagS, spanS, steps) => {
        let output = 0;
        for (let i = 0; i < steps; i++) output = physics.laggedStep(output, 1, { stepS: spanS / steps, lagS });
        close(output, physics.stepShownFraction(spanS, lagS), 1e-9);
      }),
    );
    expect(physics.laggedStep(0, 3, { stepS: 0.1, lagS: 0 })).toBe(3);
  });

  it("filling flow and pressure rate are each other's inverse", () => {
    fc.assert(
      fc.property(between(-50, 50), between(1, 12), between(250, 400), (surplusGps, manifoldL, chargeK) => {
        const manifold = { manifoldL, chargeK };
        expect(Math.abs(physics.manifoldFillingGps(physics.manifoldPressureRateKpaPerS(surplusGps, manifold), manifold) - surplusGps)).toBeLessThan(1e-9);
      }),
    );
  });

  it("road speed and engine speed are each other's inverse", () => {
    const driveline = fc.record({ gearRatio: between(0.5, 5), axleRatio: between(2, 5), tireRevsPerKm: between(350, 600) });
    fc.assert(fc.property(driveline, between(500, 8000), (through, rpm) => close(physics.engineRpm(physics.speedKmh(rpm, through), through), rpm)));
  });

  it("coast-down force at standstill is its constant part, and rises as its law says", () => {
    const load = { constantN: 180, perSpeedNs: 2, perSpeedSquaredNs2: 0.4 };
    expect(physics.coastDownForceN(load, 0)).toBe(180);
    close(physics.coastDownForceN(load, 36), 180 + 20 + 40);
  });
});
