import { describe, expect, it } from "vitest";
import { seededRandom } from "../../base/index.ts";
import { factoryCalibration } from "./calibration.ts";
import { drawVehicle } from "./draw-vehicle.ts";
import { applyFaults, plantFault } from "./faults.ts";
import { AIR_J_PER_G_K } from "./gas.ts";
import { prepareRun, type Run, STEP_S } from "./run.ts";
import { freshMemory, initialState, type State } from "./state.ts";
import { advanceClock, stepEngine } from "./step.ts";
import type { VirtualVehicle } from "./vehicle.ts";

/** A warm engine idling in neutral for so many seconds, watched step by step. */
function idle(vehicle: VirtualVehicle, seconds: number, watch: (s: State, run: Run) => void): void {
  const run = prepareRun(vehicle, factoryCalibration(seededRandom(4), vehicle), freshMemory(), seededRandom(5));
  const s = initialState({ coolantC: 88, oilC: 88, soakC: 8 }, vehicle.ambient, freshMemory());
  s.rpm = vehicle.idleRpm;
  s.runS = 60;
  s.synced = true;
  run.keyOnS = 60;
  for (let i = 0; i < seconds / STEP_S; i++) {
    advanceClock(run, s);
    stepEngine(run, s);
    watch(s, run);
  }
}

const seeds = [3, 11, 27];

describe.each(seeds)("plant of vehicle %i", (seed) => {
  const vehicle = drawVehicle(seededRandom(seed), { strategy: "switch" });

  it("keeps air: what enters less what the cylinders take is what the manifold holds", () => {
    let entered = 0;
    let taken = 0;
    let stored = 0;
    let before = vehicle.ambient.pressureKpa;
    idle(vehicle, 30, (s) => {
      entered += (s.throttleGps + s.leakGps) * STEP_S;
      taken += s.cylinderGps * STEP_S;
      // Isothermal manifold (PH-07): the mass stored in a step is V dp / (R T).
      stored += ((s.mapKpa - before) * vehicle.engine.manifoldL) / (AIR_J_PER_G_K * s.chargeK);
      before = s.mapKpa;
    });
    // A fiftieth of a per cent: Newton stops at 0.6 Pa.
    expect(Math.abs(entered - taken - stored)).toBeLessThan(0.0002 * taken);
  });

  it("keeps fuel: lambda is dry air over fuel and stoichiometry, on average over the film", () => {
    let air = 0;
    let fuel = 0;
    let logLambda = 0;
    let n = 0;
    idle(vehicle, 40, (s, run) => {
      if (s.t < 10) return;
      air += s.cylinderGps * run.dry * STEP_S;
      fuel += s.fuelGps * STEP_S;
      logLambda += Math.log((s.lambda1 + s.lambda2) / 2);
      n++;
    });
    // 1 %: banks differ by their injectors and the mean of logarithms is not the logarithm of means.
    expect(Math.abs(Math.log(air / fuel / vehicle.fuel.stoich) - logLambda / n)).toBeLessThan(0.01);
  });

  it("closes the loop at lambda 1 and holds its idle speed", () => {
    let lambda = 0;
    let rpm = 0;
    let target = 0;
    let n = 0;
    idle(vehicle, 60, (s) => {
      if (s.t < 30) return;
      lambda += s.lambda1;
      rpm += s.rpm;
      target += s.idleTarget;
      n++;
    });
    expect(lambda / n).toBeGreaterThan(0.985);
    expect(lambda / n).toBeLessThan(1.015);
    expect(Math.abs(rpm - target) / n).toBeLessThan(25);
  });

  it("turns less fuel energy into work than 42 % and loses none of the idle to nothing", () => {
    let workJ = 0;
    let fuelJ = 0;
    idle(vehicle, 20, (s) => {
      workJ += s.torqueNm * ((s.rpm * Math.PI) / 30) * STEP_S;
      fuelJ += s.fuelGps * vehicle.fuel.heatingKjPerG * 1000 * STEP_S;
    });
    expect(workJ / fuelJ).toBeGreaterThan(0.08);
    expect(workJ / fuelJ).toBeLessThan(0.42);
  });
});

describe("a leak after the meter", () => {
  it("takes the share of idle air that it was sized for, and the meter does not see it", () => {
    const sound = drawVehicle(seededRandom(8), { strategy: "meter" });
    const fault = plantFault(sound, "air.unmetered-leak", 0.5, seededRandom(2));
    let leak = 0;
    let all = 0;
    let metered = 0;
    idle(applyFaults(sound, [fault]), 60, (s) => {
      if (s.t < 20) return;
      leak += s.leakGps;
      all += s.cylinderGps;
      metered += s.meterTrueGps;
    });
    // Sized on the sound engine's steady idle: 15 % of the share for speed, load and heat soak.
    expect(leak / all / fault.idleShare!).toBeGreaterThan(0.85);
    expect(leak / all / fault.idleShare!).toBeLessThan(1.15);
    expect(Math.abs(metered + leak - all) / all).toBeLessThan(0.01);
  });
});
