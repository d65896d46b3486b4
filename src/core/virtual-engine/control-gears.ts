import { type Run, STEP_S } from "./run.ts";
import type { State } from "./state.ts";

/** Gear choice, shift course with its torque reduction, lock-up. */
export function controlGears(run: Run, s: State): void {
  const { vehicle } = run;
  if (!run.inDrive) {
    s.gear = 0;
    s.ratio = 0;
    s.locked = false;
    s.lockDuty = 0;
    s.slipRpm = 0;
    return;
  }
  if (s.gear === 0) engage(run, s);
  s.sinceShiftS += STEP_S;
  courseOfShift(run, s);
  if (vehicle.transmission.kind === "automatic") {
    chooseGear(run, s);
    controlLockup(run, s);
  }
}

function engage(run: Run, s: State): void {
  s.gear = 1;
  s.ratio = run.vehicle.transmission.ratios[0]!;
  s.sinceShiftS = 0;
  s.shiftLeftS = 0;
}

export function shiftTo(run: Run, s: State, gear: number, seconds: number): void {
  s.ratioFrom = s.ratio;
  s.gear = gear;
  s.shiftLeftS = seconds;
  s.shiftTotalS = seconds;
  s.sinceShiftS = 0;
  s.locked = false;
  if (run.vehicle.transmission.kind === "manual") s.ratio = run.vehicle.transmission.ratios[gear - 1]!;
}

function courseOfShift(run: Run, s: State): void {
  s.shiftCut = 0;
  if (s.shiftLeftS <= 0) return;
  s.shiftLeftS -= STEP_S;
  const goal = run.vehicle.transmission.ratios[s.gear - 1]!;
  const done = Math.max(0, Math.min(1, 1 - s.shiftLeftS / s.shiftTotalS));
  if (run.vehicle.transmission.kind === "automatic") {
    s.ratio = s.ratioFrom + (goal - s.ratioFrom) * done * done * (3 - 2 * done);
    const upshift = goal < s.ratioFrom;
    if (upshift && done > 0.15 && s.torqueNm > 20) s.shiftCut = run.maps.shiftReduction(s.gear - 1, s.torqueNm);
  }
  if (s.shiftLeftS <= 0) s.ratio = goal;
}

function chooseGear(run: Run, s: State): void {
  const { maps, vehicle } = run;
  if (s.shiftLeftS > 0 || s.sinceShiftS < 0.9) return;
  const kmh = s.speedMs * 3.6 * maps.speedScale;
  const shiftS = Math.max(0.08, maps.shiftTimeS(Math.max(0, s.torqueNm)));
  const highest = vehicle.transmission.ratios.length;
  if (s.gear < highest && (kmh > maps.upshiftKmh(s.throttle, s.gear) || s.rpm > 0.985 * maps.limitRpm) && s.rpm > 1100) shiftTo(run, s, s.gear + 1, shiftS);
  else if (s.gear > 1 && kmh < 0.78 * maps.upshiftKmh(s.throttle, s.gear - 1) - 2) {
    const rpmThen = (s.turbineRpm * vehicle.transmission.ratios[s.gear - 2]!) / vehicle.transmission.ratios[s.gear - 1]!;
    if (rpmThen < 0.9 * maps.limitRpm) shiftTo(run, s, s.gear - 1, shiftS * 0.8);
  }
}

function controlLockup(run: Run, s: State): void {
  const { vehicle, maps } = run;
  const allowed =
    s.gear >= vehicle.transmission.lowestLockupGear &&
    s.ectSensor > 45 &&
    s.sinceShiftS > 1.3 &&
    s.shiftLeftS <= 0 &&
    s.pedal > 2 &&
    s.throttle < 50 &&
    s.turbineRpm > 1150;
  if (!allowed) {
    s.locked = false;
    s.lockWaitS = 0;
    s.lockDuty = s.lockDuty > 20 ? s.lockDuty - 400 * STEP_S : 0;
    return;
  }
  s.lockWaitS += STEP_S;
  const goal = maps.lockupDuty(Math.max(0, s.torqueNm));
  s.lockDuty = Math.min(goal, s.lockDuty + 70 * STEP_S);
  if (!s.locked && s.lockDuty > 55) {
    s.locked = true;
    s.lockSlip = s.rpm - s.turbineRpm;
  }
}
