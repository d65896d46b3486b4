import { trimFactor } from "./control-fuel.ts";
import { fittedDeadTimeMs, injectorFlowGps, railPressureKpa } from "./injector.ts";
import { PIPE_STEPS, type Run, STEP_S } from "./run.ts";
import type { State } from "./state.ts";

/** One step of injection, wall film, mixture and its way to the sensors. */
export function stepMixture(run: Run, s: State): void {
  const { vehicle } = run;
  const { engine, injection, defects, fuel } = vehicle;
  const vacuumKpa = vehicle.ambient.pressureKpa - s.mapKpa;
  const railKpa = railPressureKpa(injection, defects, s.fuelGps / run.fullFuelGps);
  const openMs = s.pulseMs <= 0 ? 0 : Math.max(0, s.pulseMs - fittedDeadTimeMs(injection, defects, s.batteryV, vacuumKpa));
  const perBankPulses = (engine.cylinders / 2) * (Math.max(0, s.rpm) / 120);
  const grams = injectorFlowGps(injection, railKpa, vacuumKpa) * defects.injectorFlowFactor * (openMs / 1000);
  const injected1 = perBankPulses * grams * injection.bankFactors[0];
  // The pulse carries the first bank's trims; the second bank's differ by its own.
  const injected2 = perBankPulses * grams * injection.bankFactors[1] * (trimFactor(run, s.trim2, s.longNow2) / trimFactor(run, s.trim1, s.longNow1));
  const cold = Math.max(0, Math.min(1, (70 - s.coolantC) / 80));
  const share = engine.film.share + cold * (0.6 - engine.film.share) * 0.7;
  const filmS = engine.film.timeS * (1 + 4 * cold);
  const in1 = (1 - share) * injected1 + s.film1 / filmS;
  const in2 = (1 - share) * injected2 + s.film2 / filmS;
  s.film1 += (share * injected1 - s.film1 / filmS) * STEP_S;
  s.film2 += (share * injected2 - s.film2 / filmS) * STEP_S;
  const purgeGps = s.purge * 0.5;
  s.fuelGps = in1 + in2 + 2 * purgeGps;
  const leakOff = s.leakGps * (defects.leakBank1Share - 0.5);
  const air1 = (s.cylinderGps / 2 + leakOff) * run.dry;
  const air2 = (s.cylinderGps / 2 - leakOff) * run.dry;
  s.lambda1 = lambdaOf(air1, in1 + purgeGps, fuel.stoich);
  s.lambda2 = engine.banks === 1 ? s.lambda1 : lambdaOf(air2, in2 + purgeGps, fuel.stoich);
  if (engine.banks === 1) s.lambda1 = s.lambda2 = lambdaOf(air1 + air2, in1 + in2 + 2 * purgeGps, fuel.stoich);
}

function lambdaOf(airGps: number, fuelGps: number, stoich: number): number {
  return airGps <= 1e-6 ? 1 : Math.min(12, airGps / (Math.max(1e-6, fuelGps) * stoich));
}

/** Plug flow to the sensors (PH-09), air through a leak ahead of them, first-order lags (PH-10), and the voltage of the switching sensors. */
export function stepExhaust(run: Run, s: State): void {
  const { vehicle, noise } = run;
  const { exhaust, defects, engine } = vehicle;
  run.pipe1[run.step % PIPE_STEPS] = s.lambda1;
  run.pipe2[run.step % PIPE_STEPS] = s.lambda2;
  s.exhaustGps += (Math.max(0.3, s.cylinderGps + s.fuelGps) - s.exhaustGps) * (STEP_S / 0.03);
  const delayS = (60 * exhaust.revolutions) / Math.max(150, s.rpm) + exhaust.pipeG / s.exhaustGps;
  const back = Math.min(PIPE_STEPS - 2, delayS / STEP_S);
  const arrived1 = pastValue(run.pipe1, run.step, back) * dilution(run, s, 1);
  const arrived2 = engine.banks === 1 ? arrived1 : pastValue(run.pipe2, run.step, back) * dilution(run, s, 2);
  const mixing = 0.015 * Math.sqrt(600 / (s.rpm + 300));
  const seen1 = arrived1 * (1 + mixing * noise());
  const seen2 = engine.banks === 1 ? seen1 : arrived2 * (1 + mixing * noise());
  const wide = vehicle.outfit.widebandBank === 2 ? seen2 : seen1;
  s.wideband += (Math.min(exhaust.widebandMost, wide) - s.wideband) * (STEP_S / (exhaust.widebandLagS + STEP_S));
  s.oxygen1 = lagged(s.oxygen1, seen1, exhaust.switchingLagS * (defects.oxygenLagBank === 2 ? 1 : defects.oxygenLagFactor));
  s.oxygen2 = lagged(s.oxygen2, seen2, exhaust.switchingLagS * (defects.oxygenLagBank === 1 ? 1 : defects.oxygenLagFactor));
  const warm = s.runS < 0 ? 0 : Math.max(0, Math.min(1, (s.runS - 0.35 * exhaust.sensorWarmS) / (0.65 * exhaust.sensorWarmS)));
  s.o2v1 = voltage(s.oxygen1, warm);
  s.o2v2 = voltage(s.oxygen2, warm);
}

function lagged(value: number, input: number, lagS: number): number {
  return value + (Math.min(1.6, input) - value) * (STEP_S / (lagS + STEP_S));
}

function voltage(lambda: number, warm: number): number {
  return 0.45 + warm * 0.4 * Math.tanh((1 - lambda) / 0.011);
}

function pastValue(pipe: Float64Array, step: number, back: number): number {
  const whole = back | 0;
  const part = back - whole;
  const a = pipe[(step - whole + PIPE_STEPS * 4) % PIPE_STEPS]!;
  const b = pipe[(step - whole - 1 + PIPE_STEPS * 4) % PIPE_STEPS]!;
  return a + part * (b - a);
}

/** Fresh air drawn in ahead of a sensor raises lambda by its share of the exhaust; the share fades as flow and back pressure rise. */
function dilution(run: Run, s: State, bank: 1 | 2): number {
  const { exhaustLeakGps, exhaustLeakFadeGps, exhaustLeakBank } = run.vehicle.defects;
  if (exhaustLeakGps === 0 || (exhaustLeakBank !== 0 && exhaustLeakBank !== bank)) return 1;
  const share = (exhaustLeakGps * Math.exp(-s.exhaustGps / exhaustLeakFadeGps)) / Math.max(1, s.exhaustGps);
  return 1 + share;
}
