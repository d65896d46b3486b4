import { type Run, STEP_S } from "./run.ts";
import type { State } from "./state.ts";
import { bestAdvanceDeg, filling, frictionNm, idealTorqueNm, mixtureShare, pumpingNm, sparkShare } from "./torque.ts";

const RPM_TO_RADS = Math.PI / 30;

/** One step of torque, crankshaft, converter or clutch, and the road. */
export function stepTurning(run: Run, s: State): void {
  const net = engineNm(run, s);
  const automatic = run.vehicle.transmission.kind === "automatic";
  if (!run.inDrive || s.gear === 0) {
    freeEngine(run, s, net);
    moveVehicle(run, s, 0);
    s.turbineRpm = automatic ? Math.max(0, s.rpm * 0.985) : 0;
    return;
  }
  const overall = s.ratio * run.vehicle.body.axleRatio;
  s.turbineRpm = (s.speedMs / run.tireRadiusM / RPM_TO_RADS) * overall;
  if (automatic) stepConverter(run, s, net, overall);
  else stepClutch(run, s, net, overall);
  s.crankRevs += (s.rpm / 60) * STEP_S;
}

function engineNm(run: Run, s: State): number {
  const { vehicle, noise } = run;
  const { engine } = vehicle;
  const airG = s.rpm > 30 ? (s.cylinderGps * 120) / (engine.cylinders * s.rpm) : 0;
  const share = filling(airG, run.cylinderL);
  const firing = s.synced && s.rpm > 70 && s.pulseMs > 0;
  const lambda = (s.lambda1 + s.lambda2) / 2;
  let made = 0;
  if (firing) {
    const best = bestAdvanceDeg(engine, s.rpm, share);
    made =
      idealTorqueNm(engine, vehicle.fuel, s.cylinderGps * run.dry, Math.max(150, s.rpm)) *
      sparkShare(engine, best - (s.spark - s.knockRetard)) *
      mixtureShare(lambda);
    // Cycle-to-cycle scatter: largest where the charge is thin and diluted, correlated over a few cycles.
    const size = engine.idleScatter * Math.min(1.6, 0.28 / (share + 0.05)) * Math.min(1, 900 / (s.rpm + 100));
    s.scatter += -s.scatter * (STEP_S / 0.16) + size * Math.sqrt((2 * STEP_S) / 0.16) * noise();
    made *= 1 + s.scatter;
  }
  const turning = s.rpm > 1 ? 1 : 0;
  const pump = pumpingNm(engine, s.rpm, s.mapKpa, vehicle.ambient.pressureKpa);
  s.torqueNm = made - (firing ? 0 : 0.02 * run.mostNm * turning) * 0.5;
  const load = run.accessoryNm * (1 + 0.9 * run.load);
  const starterNm = run.starter ? Math.max(0, (46 + 34 * engine.displacementL) * (s.batteryV / 10.5) * (1 - s.rpm / 330)) : 0;
  const compression = s.rpm < 400 ? 0.25 * pumpCrankNm(run) * (1 - s.rpm / 400) : 0;
  return made + starterNm - turning * (frictionNm(engine, s.rpm, s.oilC) + pump + load + compression);
}

function pumpCrankNm(run: Run): number {
  return 14 * run.vehicle.engine.displacementL;
}

function freeEngine(run: Run, s: State, net: number): void {
  s.rpm = Math.max(0, s.rpm + (net / run.vehicle.engine.inertiaKgM2 / RPM_TO_RADS) * STEP_S);
  s.crankRevs += (s.rpm / 60) * STEP_S;
}

/** Fluid coupling: capacity with the square of speed, torque ratio 2 at stall to 1 at coupling. @source guzzella-onder ch. 2 (from memory); figures common practice */
function stepConverter(run: Run, s: State, net: number, overall: number): void {
  const { engine, transmission } = run.vehicle;
  if (s.locked) {
    tieEngine(run, s, net, overall, lockSlip(run, s));
    return;
  }
  const ratio = s.rpm > 100 ? s.turbineRpm / s.rpm : 1;
  const capacity = ratio < 1 ? Math.min(1, ((1 - ratio) / 0.17) ** 0.75) * (1 - 0.15 * ratio) : -Math.min(0.7, (ratio - 1) / 0.45);
  const speed = (ratio < 1 ? s.rpm : s.turbineRpm) / transmission.stallRpm;
  const pumpNm = transmission.stallTorqueNm * speed * speed * capacity;
  const multiply = ratio < 0.88 ? 2 - (1 * ratio) / 0.88 : 1;
  freeOnly(run, s, net - pumpNm);
  moveVehicle(run, s, (pumpNm * multiply * overall * (1 - transmission.lossShare * Math.sign(pumpNm))) / run.tireRadiusM);
  s.slipRpm = s.rpm - s.turbineRpm;
  if (engine.inertiaKgM2 <= 0) throw new RangeError("engine without inertia");
}

function freeOnly(run: Run, s: State, net: number): void {
  s.rpm = Math.max(0, s.rpm + (net / run.vehicle.engine.inertiaKgM2 / RPM_TO_RADS) * STEP_S);
}

/** Slip of the lock-up clutch [rpm]: the closing ramp, and what it cannot hold. */
function lockSlip(run: Run, s: State): number {
  const { lockupHoldNm, lockupSlipRpmPerNm } = run.vehicle.defects;
  s.lockSlip *= Math.exp(-STEP_S / 0.35);
  if (lockupHoldNm === 0) return s.lockSlip;
  const over = Math.max(0, s.torqueNm - lockupHoldNm);
  return s.lockSlip + over * lockupSlipRpmPerNm * (1 + 0.08 * run.noise());
}

/** Engine tied to the road through a closed clutch: one mass. */
function tieEngine(run: Run, s: State, net: number, overall: number, slipRpm: number): void {
  const { transmission } = run.vehicle;
  const geared = overall / run.tireRadiusM;
  const inertia = run.vehicle.engine.inertiaKgM2 * geared * geared;
  moveVehicle(run, s, net * geared * (1 - transmission.lossShare * Math.sign(net)), inertia);
  s.turbineRpm = (s.speedMs / run.tireRadiusM / RPM_TO_RADS) * overall;
  s.rpm = Math.max(0, s.turbineRpm + slipRpm);
  s.slipRpm = slipRpm;
}

function stepClutch(run: Run, s: State, net: number, overall: number): void {
  const apart = s.rpm - s.turbineRpm;
  if (s.clutch < 0.02) {
    s.clutchLocked = false;
    freeOnly(run, s, net);
    moveVehicle(run, s, 0);
    return;
  }
  if (s.clutchLocked && s.clutch > 0.5) {
    tieEngine(run, s, net, overall, 0);
    return;
  }
  if (Math.abs(apart) < 30 && s.clutch > 0.5) {
    s.clutchLocked = true;
    tieEngine(run, s, net, overall, apart * 0.5);
    return;
  }
  s.clutchLocked = false;
  const clutchNm = s.clutch * run.mostNm * 1.1 * Math.tanh(apart / 60);
  freeOnly(run, s, net - clutchNm);
  moveVehicle(run, s, (clutchNm * overall * (1 - run.vehicle.transmission.lossShare)) / run.tireRadiusM);
}

/** Road load: rolling, grade, air, brakes. @source PH-14 */
function moveVehicle(run: Run, s: State, driveN: number, addedKg = 0): void {
  const { body, ambient } = run.vehicle;
  const density = ambient.pressureKpa / (0.28705 * (ambient.temperatureC + 273.15));
  const rolling = s.speedMs > 0.05 ? body.massKg * 9.81 * body.rollingShare : 0;
  const resist = rolling + body.massKg * 9.81 * run.grade + 0.5 * density * body.dragAreaM2 * s.speedMs * s.speedMs + s.brake * body.massKg * 7;
  const speed = s.speedMs + ((driveN - resist) / (body.massKg * 1.04 + addedKg)) * STEP_S;
  s.speedMs = Math.max(0, speed);
}
