import { AIR_J_PER_G_K } from "./gas.ts";
import { type Run, STEP_S } from "./run.ts";
import type { State } from "./state.ts";

/** Speeds and pressures (share of ambient) between which the learned fuel trim is spread. */
const LEARN_RPM = [700, 1300, 2000, 3000, 4500];
const LEARN_LOAD = [0.25, 0.4, 0.58, 0.78, 0.97];

/** The controller's idea of the air: speed-density under the switch speed, the meter over it (contract, role air.model-switch-speed). */
export function controlAir(run: Run, s: State): void {
  const { maps, vehicle } = run;
  const { engine } = vehicle;
  const perRev = Math.max(60, s.rpm);
  const assumedK = s.iatSensor + 273.15 + maps.blend(s.airGps) * (s.ectSensor - s.iatSensor);
  const vePercent = maps.vePercent(s.rpm, s.mapSensor);
  const densityG = (vePercent * 0.01 * s.mapSensor * run.cylinderL) / (AIR_J_PER_G_K * assumedK);
  s.usesMeter = s.rpm >= maps.switchRpm;
  if (s.usesMeter) {
    // The meter sees the manifold fill; the controller smooths it with the manifold's own time constant.
    const meterG = (s.meterAirGps * 120) / (engine.cylinders * perRev);
    const fillS = (120 * engine.manifoldL) / (0.7 * engine.displacementL * perRev);
    s.airG += (Math.min(meterG, 3 * run.cylinderL) - s.airG) * (STEP_S / (0.55 * fillS + STEP_S));
  } else s.airG = densityG;
  s.airGps = (s.airG * engine.cylinders * s.rpm) / 120;
}

/** Commanded lambda, closed loop, trims and pulse width. */
export function controlFuel(run: Run, s: State): void {
  const { maps, vehicle } = run;
  const { tuning } = vehicle;
  const full = s.runS > 1 && s.throttle >= maps.fullThrottle(s.rpm);
  s.lambdaTarget = full ? 1 / maps.fullRatio(s.rpm) : warmUpLambda(run, s);
  controlCut(run, s, full);
  const dragged = tuning.openOnOverrun && run.inDrive && s.pedal < 1 && s.speedMs > 2 && s.rpm > s.idleTarget + 250;
  if (dragged) s.openUntilS = Math.max(s.openUntilS, s.t + 0.8);
  const warmSensor = s.runS > vehicle.exhaust.sensorWarmS;
  s.closedLoop = !full && !s.cut && warmSensor && s.ectSensor > tuning.closedLoopFromC && s.runS > tuning.closedLoopAfterS && s.t > s.openUntilS && !dragged;
  if (s.closedLoop) s.lambdaTarget = 1;
  controlTrims(run, s, full);
  s.pulseMs = 0;
  s.purge = purgeFuel(run, s);
  if (s.cut || s.rpm < 40 || !s.synced || s.rpm > maps.limitRpm || s.t < run.camLostUntilS) return;
  const vacuumKpa = vehicle.ambient.pressureKpa - s.mapSensor;
  const enrich = s.runS < 0 ? 1 + 0.35 * coldness(s.ectSensor) : 1;
  const wantedG = (s.airG / (maps.stoich * s.lambdaTarget)) * trimFactor(run, s.trim1, s.longNow1) * enrich;
  const compensated = s.runS > 0.5 ? wantedG * filmFactor(run, s, wantedG) : wantedG;
  s.pulseMs = Math.min(60, (compensated / maps.injectorGps(vacuumKpa)) * 1000 + maps.deadMs(s.batteryV, vacuumKpa));
}

/** What a bank's two trims do to its fuel. */
export function trimFactor(run: Run, short: number, long: number): number {
  return run.vehicle.tuning.trimLaw === "sum" ? Math.max(0.3, 1 + short + long) : (1 + short) * (1 + long);
}

function coldness(coolantC: number): number {
  return Math.max(0, Math.min(1.2, (72 - coolantC) / 90));
}

function warmUpLambda(run: Run, s: State): number {
  const { tuning } = run.vehicle;
  if (s.runS < 0) return 1 / (1 + tuning.warmUpRich * coldness(s.ectSensor) + tuning.afterStartRich);
  const lasting = tuning.warmUpRich * coldness(s.ectSensor) * 0.55;
  return 1 / (1 + lasting + tuning.afterStartRich * Math.exp(-s.runS / 7));
}

/** Overrun fuel cut with hysteresis; the loop stays open for a while after it, until the sensor sees the new mixture. */
function controlCut(run: Run, s: State, full: boolean): void {
  const { tuning, transmission } = run.vehicle;
  const overrun = s.pedal < 1 && s.runS > 5 && s.ectSensor > 38 && !full && run.inDrive && (transmission.kind === "automatic" || s.clutchLocked);
  if (s.cut) {
    if (!overrun || s.rpm < run.maps.idleRpm(s.ectSensor) + tuning.cutBackRpm - run.vehicle.idleRpm) {
      s.cut = false;
      s.openUntilS = s.t + 1.2;
    }
    return;
  }
  s.cutWaitS = overrun && s.rpm > tuning.cutFromRpm ? s.cutWaitS + STEP_S : 0;
  if (s.cutWaitS > 0.6) s.cut = true;
}

/** Share of wanted fuel that offsets what the film takes up or gives back, from the controller's model of it. @source PH-08 (inverse) */
function filmFactor(run: Run, s: State, wantedG: number): number {
  const tauS = 0.3;
  s.filmModel += (wantedG - s.filmModel) * (STEP_S / tauS);
  const gain = 0.25 * run.vehicle.tuning.filmCompensation;
  const factor = 1 + (gain * (wantedG - s.filmModel)) / Math.max(wantedG, 1e-6);
  return Math.max(0.7, Math.min(1.4, factor));
}

function purgeFuel(run: Run, s: State): number {
  const { tuning } = run.vehicle;
  if (tuning.purgeShare === 0 || !s.closedLoop || s.ectSensor < 62) return 0;
  // The canister empties as the drive goes on.
  const fading = 0.25 + 0.75 * Math.exp(-s.runS / 400);
  const swell = 0.6 + 0.4 * Math.sin(s.t / 23);
  return tuning.purgeShare * fading * swell * 0.12 * run.vehicle.engine.displacementL;
}

function controlTrims(run: Run, s: State, full: boolean): void {
  const { tuning, engine } = run.vehicle;
  learnedTrims(run, s, full);
  if (!s.closedLoop) {
    s.trim1 = s.trim2 = s.integral1 = s.integral2 = 0;
    return;
  }
  const perStep = tuning.trimPerS * STEP_S * Math.sqrt(Math.max(400, s.rpm) / 1500);
  s.lean1 = isLean(s.o2v1, s.lean1);
  s.integral1 = nextIntegral(s.integral1, s.lean1, perStep);
  s.trim1 = s.integral1 + (s.lean1 ? tuning.trimStep : -tuning.trimStep);
  if (engine.banks === 1) {
    s.trim2 = s.trim1;
    s.integral2 = s.integral1;
  } else {
    s.lean2 = isLean(s.o2v2, s.lean2);
    s.integral2 = nextIntegral(s.integral2, s.lean2, perStep);
    s.trim2 = s.integral2 + (s.lean2 ? tuning.trimStep : -tuning.trimStep);
  }
  if (run.maps.longTrim && s.ectSensor > 60 && s.runS > 30) learn(run, s);
}

function isLean(voltage: number, wasLean: boolean): boolean {
  return wasLean ? voltage < 0.5 : voltage < 0.4;
}

function nextIntegral(integral: number, lean: boolean, perStep: number): number {
  return Math.max(-0.28, Math.min(0.28, integral + (lean ? perStep : -perStep)));
}

function learn(run: Run, s: State): void {
  const { tuning, engine } = run.vehicle;
  const limit = tuning.learnLimit;
  for (let k = 0; k < 4; k++) {
    const cell = run.learnCells[k]!;
    const rate = tuning.learnPerS * STEP_S * run.learnWeights[k]!;
    run.long1[cell] = Math.max(-limit, Math.min(limit, run.long1[cell]! + rate * s.integral1));
    run.long2[cell] = engine.banks === 1 ? run.long1[cell]! : Math.max(-limit, Math.min(limit, run.long2[cell]! + rate * s.integral2));
  }
}

function learnedTrims(run: Run, s: State, full: boolean): void {
  s.longNow1 = 0;
  s.longNow2 = 0;
  if (!run.maps.longTrim) return;
  placeLearning(run, s.rpm, s.mapSensor / run.vehicle.ambient.pressureKpa);
  if (full && !run.vehicle.tuning.learnAtFullLoad) return;
  for (let k = 0; k < 4; k++) {
    s.longNow1 += run.learnWeights[k]! * run.long1[run.learnCells[k]!]!;
    s.longNow2 += run.learnWeights[k]! * run.long2[run.learnCells[k]!]!;
  }
}

/** Learning cells around an operating point: four with bilinear weights, or the nearest alone. */
function placeLearning(run: Run, rpm: number, load: number): void {
  const { learnCells, learnWeights } = run;
  const x = place(LEARN_RPM, rpm);
  const y = place(LEARN_LOAD, load);
  if (run.vehicle.tuning.learnStyle === "cells") {
    learnCells.fill(Math.round(y) * 5 + Math.round(x));
    learnWeights[0] = 1;
    learnWeights[1] = learnWeights[2] = learnWeights[3] = 0;
    return;
  }
  const i = Math.min(3, x | 0);
  const j = Math.min(3, y | 0);
  const fx = x - i;
  const fy = y - j;
  for (let k = 0; k < 4; k++) {
    learnCells[k] = (j + (k >> 1)) * 5 + i + (k & 1);
    learnWeights[k] = (k & 1 ? fx : 1 - fx) * (k >> 1 ? fy : 1 - fy);
  }
}

function place(edges: readonly number[], value: number): number {
  if (value <= edges[0]!) return 0;
  for (let i = 1; i < edges.length; i++) if (value < edges[i]!) return i - 1 + (value - edges[i - 1]!) / (edges[i]! - edges[i - 1]!);
  return edges.length - 1;
}
